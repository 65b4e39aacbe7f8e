"""Puts the rooms together."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial

from anyio import CapacityLimiter
from fastapi import FastAPI
from starlette.exceptions import HTTPException

from service.api import advice, evidence, landing, laterals, operations, pages, parts, takeoff, zones
from service.api.asgi.access_log import AccessLog
from service.api.asgi.answered_before import AnsweredBefore
from service.api.asgi.cors import Cors
from service.api.asgi.plain_get import PlainGet
from service.api.asgi.refused_heads import RefusedHeads
from service.api.asgi.request_id import RequestId
from service.api.asgi.security_headers import SecurityHeaders
from service.api.asgi.surprises import Surprises
from service.api.kept import Keeper
from service.api.openapi import describe_api
from service.api.refusals import answer_refusal
from service.api.tags import Tagger
from service.api.workers import Crew
from service.parts.catalogue import load_catalogue
from service.settings import Settings, read_settings
from service.takeoff.price_file import house_prices

ROUTERS = (
    zones.router,
    takeoff.router,
    laterals.router,
    advice.router,
    parts.router,
    operations.router,
    landing.router,
    evidence.router,
    pages.router,
)


def create_app(settings: Settings | None = None) -> FastAPI:
    """The service as an ASGI application; `settings` are read from the environment if not given."""
    settings = settings or read_settings()

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[dict[str, Settings]]:
        yield {"settings": settings}

    app = FastAPI(
        lifespan=lifespan,
        openapi_url=None,
        docs_url=None,
        redoc_url=None,
        redirect_slashes=False,
        generate_unique_id_function=lambda route: route.name,
        exception_handlers={HTTPException: answer_refusal},
    )
    app.state.settings = settings
    app.state.catalogue = load_catalogue(settings.parts_file)
    app.state.prices = house_prices(settings.prices_file, app.state.catalogue)
    threads = CapacityLimiter(settings.calculations)
    app.state.crew = Crew(threads, settings.queue)
    app.state.cell_crew = Crew(threads, settings.cell_queue)
    # A picture takes as long as ten cells: they go ahead of all but one.
    app.state.drawing_crew = Crew(threads, settings.cell_queue, at_once=1)
    app.state.keeper = Keeper(settings.kept_bytes)
    app.state.tagger = Tagger(settings, app.state.catalogue)
    app.openapi = partial(describe_api, app)  # type: ignore[method-assign]
    for router in ROUTERS:
        app.include_router(router)

    # The last one added stands outermost: it sees every answer of those inside.
    app.add_middleware(AnsweredBefore)
    app.add_middleware(PlainGet)
    app.add_middleware(RefusedHeads, target_bytes=settings.target_bytes, header_bytes=settings.header_bytes)
    app.add_middleware(Surprises)
    app.add_middleware(Cors, allow_origins=settings.allowed_origins)
    app.add_middleware(SecurityHeaders, framing_origins=settings.allowed_origins)
    app.add_middleware(AccessLog)
    app.add_middleware(RequestId)
    return app
