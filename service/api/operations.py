"""What the people who run the service ask: is it alive, is it ready."""

from typing import Annotated, Literal

from fastapi import APIRouter
from pydantic import BaseModel, ConfigDict, Field

from service import __version__
from service.api.strict_route import NO_PARAMETERS, StrictRoute

router = APIRouter(route_class=StrictRoute, tags=["operations"], dependencies=[NO_PARAMETERS])


class Health(BaseModel):
    """That the process answers."""

    model_config = ConfigDict(frozen=True)

    status: Annotated[Literal["ok"], Field(description="Always the same: who reads it has an answer.")] = "ok"
    version: Annotated[str, Field(max_length=40, pattern=r"^[0-9A-Za-z.+-]+$", examples=["0.1.0"])] = __version__


class Readiness(BaseModel):
    """That calculations may be sent."""

    model_config = ConfigDict(frozen=True)

    status: Literal["ready"] = "ready"


@router.get("/healthz", name="getHealth", summary="Whether the process is alive")
async def get_health() -> Health:
    """Answers at once, however many calculations wait. Restart the process when it does not."""
    return Health()


@router.get("/readyz", name="getReadiness", summary="Whether the service takes calculations")
async def get_readiness() -> Readiness:
    """Answers once the catalogue is read and checked; before that nothing listens at all."""
    return Readiness()
