"""How large a zone may be here, as the operator has set it."""

from typing import Annotated

from fastapi import Depends, Request

from service.settings import Settings
from service.zones.instances import Limits


def zone_size(request: Request) -> Limits:
    """How large a zone may be in a request."""
    settings: Settings = request.app.state.settings
    return Limits(run_instances=settings.max_run_instances, outlets=settings.max_outlets)


async def _zone_size(request: Request) -> Limits:
    return zone_size(request)


ZoneSize = Annotated[Limits, Depends(_zone_size)]
