"""Every environment variable the service reads, in one place (ENDLINE_…)."""

import os
import re
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, ValidationError, field_validator
from pydantic_settings import BaseSettings, NoDecode, SettingsConfigDict

PREFIX = "ENDLINE_"

KIB = 1024
MIB = 1024 * KIB

EVERY_ORIGIN = "*"

Positive = Annotated[float, Field(gt=0, allow_inf_nan=False)]

_ORIGIN = re.compile(r"https?://([a-z0-9.-]+|\[[0-9a-f:]+\])(:\d+)?")

LogLevel = Literal["debug", "info", "warning", "error"]


class Settings(BaseSettings):
    """What an operator may set; frozen, and read once at start.

    Every field is the environment variable of its name in capitals behind `ENDLINE_`, such as `ENDLINE_PORT`.
    """

    model_config = SettingsConfigDict(env_prefix=PREFIX, frozen=True, extra="forbid")

    host: str = "127.0.0.1"
    port: Annotated[int, Field(ge=0, le=65_535)] = 8000
    workers: Annotated[int, Field(ge=1, le=64, description="Server processes.")] = 1
    log_level: LogLevel = "info"

    parts_file: Path | None = Field(default=None, description="Parts of the operator's own, beside the shipped ones.")
    prices_file: Path | None = Field(default=None, description="Prices of parts, for takeoffs that bring none.")
    allowed_origins: Annotated[tuple[str, ...], NoDecode] = Field(
        default=(), description="Web origins whose pages may ask, parted by commas; `*` for every one."
    )

    max_outlets: Annotated[int, Field(ge=1)] = 100_000
    max_run_instances: Annotated[int, Field(ge=1)] = 2_000

    zone_body_bytes: Annotated[int, Field(ge=KIB)] = MIB
    job_body_bytes: Annotated[int, Field(ge=KIB)] = 16 * MIB
    header_bytes: Annotated[int, Field(ge=KIB)] = 16 * KIB
    target_bytes: Annotated[int, Field(ge=256, description="Longest path and query.")] = 8 * KIB

    header_seconds: Annotated[Positive, Field(description="Time for the head of a request to arrive.")] = 10.0
    body_seconds: Annotated[Positive, Field(description="Time for a small body to arrive.")] = 10.0
    body_bytes_per_second: Annotated[
        Positive, Field(description="Slowest line that a large body may come by; it earns time at this rate.")
    ] = 50_000.0
    shutdown_seconds: Annotated[Positive, Field(description="Time for answers in flight when told to stop.")] = 30.0

    threads: Annotated[int | None, Field(ge=1, description="Calculations at a time; unset: cores over workers.")] = None
    queue: Annotated[int, Field(ge=0, description="Calculations that may wait; past them the answer is 503.")] = 32
    cell_queue: Annotated[
        int,
        Field(ge=0, description="Questions by GET that may wait beside them: a sheet asks for all its cells at once."),
    ] = 1000
    kept_bytes: Annotated[int, Field(ge=0, description="Room for answers that are kept for equal requests.")] = 32 * MIB

    @field_validator("allowed_origins", mode="before")
    @classmethod
    def _split(cls, value: object) -> object:
        return tuple(filter(None, (part.strip() for part in value.split(",")))) if isinstance(value, str) else value

    @field_validator("allowed_origins")
    @classmethod
    def _as_browsers_write_them(cls, origins: tuple[str, ...]) -> tuple[str, ...]:
        """In small letters, scheme and host alone: anything else would never be met, and nobody would know why."""
        written = tuple(origin.lower() for origin in origins)
        if strange := [origin for origin in written if origin != EVERY_ORIGIN and not _ORIGIN.fullmatch(origin)]:
            raise ValueError(f"an origin is written as https://sheets.example, without a path, not as {strange[0]}")
        return written

    @property
    def calculations(self) -> int:
        """How many calculations one server process runs at a time."""
        return self.threads or max(1, (os.cpu_count() or 1) // self.workers)


class SettingsRefused(ValueError):
    """The environment holds settings that cannot be taken; the message has a line for each."""


def read_settings() -> Settings:
    """The settings of the environment.

    Raises
    ------
    SettingsRefused : for a value that cannot be taken, and for a name that is none of ours, such as a misspelt one.
    """
    known = {PREFIX + name.upper() for name in Settings.model_fields}
    lines = [
        f"{name}: there is no such setting"
        for name in sorted(os.environ)
        if name.upper().startswith(PREFIX) and name.upper() not in known
    ]
    try:
        settings = Settings()
    except ValidationError as refused:
        lines += [f"{PREFIX}{str(fault['loc'][0]).upper()}: {fault['msg']}" for fault in refused.errors()]
        raise SettingsRefused("\n".join(lines)) from None
    if lines:
        raise SettingsRefused("\n".join(lines))
    return settings
