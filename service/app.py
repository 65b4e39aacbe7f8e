"""Puts the rooms together."""

from fastapi import FastAPI

from service.settings import Settings


def create_app(settings: Settings | None = None) -> FastAPI:
    """The service as an ASGI application."""
    app = FastAPI(title="endline", redirect_slashes=False)
    app.state.settings = settings or Settings()
    return app
