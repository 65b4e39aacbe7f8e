"""Every environment variable the service reads, in one place (ENDLINE_…)."""

from pydantic_settings import BaseSettings, SettingsConfigDict


class Settings(BaseSettings):
    """What an operator may set; frozen, and read once at start."""

    model_config = SettingsConfigDict(env_prefix="ENDLINE_", frozen=True, extra="forbid")
