"""Bare endpoints, the measure of what HTTP itself costs: one echoes a body by way of a thread, one has its answer."""

import sys

import uvicorn
from anyio import to_thread
from fastapi import FastAPI, Response

from service.api.json_log import logging_config

app = FastAPI()


@app.post("/echo")
async def echo(body: dict) -> dict:
    return await to_thread.run_sync(lambda: body)


@app.get("/bytes/{size}")
async def text(size: int) -> Response:
    return Response(b"x" * size, media_type="application/json")


if __name__ == "__main__":
    uvicorn.run(app, port=int(sys.argv[1]), http="h11", access_log=False, log_config=logging_config("info"))
