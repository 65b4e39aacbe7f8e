"""Answers kept for a while: a sheet that recalculates asks the same thing hundreds of times within a second."""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import Awaitable, Callable, Hashable
from dataclasses import dataclass

OVERHEAD = 1024
"""What an entry takes beside its body. [bytes]"""

LARGEST_SHARE = 0.25
"""Share of the room that one answer may take; a larger one is not kept. [-]"""

Make = Callable[[], Awaitable[bytes]]


@dataclass(frozen=True, slots=True)
class Kept:
    """A body, and the headers that it goes out with."""

    body: bytes
    headers: tuple[tuple[str, str], ...] = ()


class Keeper:
    """Bodies by whatever identifies their request, the longest unused thrown out first. For one event loop alone."""

    def __init__(self, room: int) -> None:
        """`room` is the most that all entries may take. [bytes]"""
        self.room = room
        self.taken = 0
        self._entries: OrderedDict[Hashable, Kept] = OrderedDict()
        self._making: dict[Hashable, asyncio.Task[bytes]] = {}

    def get(self, key: Hashable) -> Kept | None:
        """What is kept under a key."""
        entry = self._entries.get(key)
        if entry is not None:
            self._entries.move_to_end(key)
        return entry

    def put(self, key: Hashable, entry: Kept) -> None:
        """Keep an entry, if it is not too large."""
        if key in self._entries:
            self.taken -= _weight(self._entries.pop(key))
        if _weight(entry) > self.room * LARGEST_SHARE:
            return
        self._entries[key] = entry
        self.taken += _weight(entry)
        while self.taken > self.room:
            _, oldest = self._entries.popitem(last=False)
            self.taken -= _weight(oldest)

    async def once(self, key: Hashable, make: Make) -> bytes:
        """The body of a key: kept, or being made for somebody else, or made now. What fails is not kept.

        Raises
        ------
        whatever `make` raises, for everyone who waited for it
        """
        entry = self.get(key)
        if entry is not None:
            return entry.body
        task = self._making.get(key)
        if task is None:
            task = asyncio.create_task(self._made(key, make))
            self._making[key] = task
            # Where everyone who waited has left, nobody is told of a failure; the event loop would complain of that.
            task.add_done_callback(lambda done: done.cancelled() or done.exception())
        # Whoever asked first may leave; the others still want it.
        return await asyncio.shield(task)

    async def _made(self, key: Hashable, make: Make) -> bytes:
        try:
            body = await make()
            self.put(key, Kept(body))
            return body
        finally:
            del self._making[key]


def _weight(entry: Kept) -> int:
    return len(entry.body) + OVERHEAD
