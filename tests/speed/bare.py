"""A bare endpoint: parses a body, hops to a thread and back, and echoes it. The measure of what HTTP itself costs."""

import sys

import uvicorn
from anyio import to_thread
from fastapi import FastAPI

from service.api.json_log import logging_config

app = FastAPI()


@app.post("/echo")
async def echo(body: dict) -> dict:
    return await to_thread.run_sync(lambda: body)


if __name__ == "__main__":
    uvicorn.run(app, port=int(sys.argv[1]), http="h11", access_log=False, log_config=logging_config("info"))
