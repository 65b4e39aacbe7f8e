"""A tiny service behind the real edge: routes that do on purpose what real ones do by accident."""

import os
import time
from typing import Annotated

from fastapi import APIRouter, FastAPI, Path, Query, Response
from pydantic import Field
from starlette.exceptions import HTTPException

from service.api.present import PRESENTED, CalculationQuery, Presenter
from service.api.strict_route import JobRoute, StrictRoute
from service.api.workers import Workers
from service.app import create_app
from service.settings import Settings, read_settings
from service.units.model import Maybe, Model, UnitModel
from service.units.nothing_null import NothingNull
from service.units.quantity import Count, Length, Pressure
from service.units.text import Name
from service.zones.faults import NoOutlets, UnknownRun, ZoneFaults

router = APIRouter(route_class=StrictRoute, tags=["zones"])
jobs = APIRouter(route_class=JobRoute, tags=["zones"])


class Piece(Model):
    length: Length
    rise: Maybe[Pressure] = None


class Tiny(UnitModel):
    name: Maybe[Name] = None
    length: Length
    count: Count = 1
    pieces: Annotated[tuple[Piece, ...], Field(max_length=50_000)] = ()
    seconds: Annotated[float, Field(ge=0, le=5)] = 0


class TinyQuery(CalculationQuery):
    length: Length
    count: Count = 1


class TinyAnswer(NothingNull):
    length: Length
    pieces: int


def compute(tiny: Tiny | TinyQuery) -> TinyAnswer:
    time.sleep(getattr(tiny, "seconds", 0))
    if tiny.count == 13:
        raise ZoneFaults([UnknownRun(("runs", 1, "from"), name="heder", nearest=["header"])])
    if tiny.count == 14:
        raise ZoneFaults([UnknownRun(("runs", 1, "from"), name="x", nearest=[]), NoOutlets(("runs",))])
    if tiny.count == 99:
        raise ZeroDivisionError("a secret of the inside")
    return TinyAnswer(length=tiny.length, pieces=len(getattr(tiny, "pieces", ())))


@router.post("/v1/tiny", name="computeTiny", response_model=TinyAnswer, dependencies=[PRESENTED])
async def compute_tiny(tiny: Tiny, workers: Workers, present: Presenter) -> Response:
    return await workers.run(present, compute, tiny)


@router.get("/v1/tiny", name="askTiny", response_model=TinyAnswer)
async def ask_tiny(asked: Annotated[TinyQuery, Query()], workers: Workers, present: Presenter) -> Response:
    return await workers.run(present, compute, asked)


@jobs.post("/v1/job", name="computeJob", response_model=TinyAnswer, dependencies=[PRESENTED])
async def compute_job(tiny: Tiny, workers: Workers, present: Presenter) -> Response:
    return await workers.run(present, compute, tiny)


@router.get("/v1/status/{status}", name="answerStatus")
async def answer_status(status: Annotated[int, Path(ge=400, le=599)]) -> Response:
    raise HTTPException(status)


def tiny_app(settings: Settings | None = None) -> FastAPI:
    app = create_app(settings)
    app.include_router(router)
    app.include_router(jobs)
    return app


def serve() -> None:
    """The tiny service in a process of its own, with the server options of the real one."""
    import uvicorn

    from service.cli.serve import server_options

    uvicorn.run(**{**server_options(read_settings()), "app": "tests.edge.tiny:tiny_app"})


if __name__ == "__main__":
    os.environ.setdefault("ENDLINE_PORT", "0")
    serve()
