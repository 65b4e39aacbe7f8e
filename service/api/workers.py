"""Runs calculations off the event loop: a few at a time, a few waiting, and a plain refusal past that."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager, nullcontext
from typing import Annotated, ParamSpec, TypeVar

from anyio import CapacityLimiter, to_thread
from fastapi import Depends, Request

from service.api.problems import Refusal

P = ParamSpec("P")
T = TypeVar("T")

RETRY_SECONDS = 1


class Crew:
    """The threads of one server process and a bounded queue before them. Several queues may share the threads."""

    def __init__(self, limiter: CapacityLimiter, queue: int, *, at_once: int | None = None) -> None:
        """`at_once` is how many of this queue may stand before the threads, so that others need not wait for all."""
        self.limiter = limiter
        self.most = int(limiter.total_tokens) + queue
        self.taken = 0
        self.turn: AbstractAsyncContextManager[None] = nullcontext() if at_once is None else CapacityLimiter(at_once)

    async def run(self, calculate: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """The result of `calculate`, run in a thread.

        Raises
        ------
        Refusal : 503, at once, where the queue is full.
        """
        if self.taken >= self.most:
            raise Refusal("busy", "Too many calculations are waiting.", headers={"Retry-After": str(RETRY_SECONDS)})
        self.taken += 1
        try:
            async with self.turn:
                return await to_thread.run_sync(lambda: calculate(*args, **kwargs), limiter=self.limiter)
        finally:
            self.taken -= 1


async def _crew(request: Request) -> Crew:
    crew: Crew = request.app.state.crew
    return crew


Workers = Annotated[Crew, Depends(_crew)]
