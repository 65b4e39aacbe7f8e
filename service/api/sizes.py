"""How large a zone may be here, as the operator has set it."""

from typing import Annotated

from fastapi import Depends, Request

from service.settings import Settings
from service.zones.instances import Limits


async def _zone_size(request: Request) -> Limits:
    settings: Settings = request.app.state.settings
    return Limits(run_instances=settings.max_run_instances, outlets=settings.max_outlets)


ZoneSize = Annotated[Limits, Depends(_zone_size)]
