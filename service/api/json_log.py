"""Log records as lines of JSON, so that nothing a caller sends can look like a line of its own."""

import json
import logging
from datetime import UTC, datetime
from typing import Any


class JsonLines(logging.Formatter):
    """Formats a record, its `fields` and its traceback as one JSON object."""

    def format(self, record: logging.LogRecord) -> str:
        """One line."""
        line: dict[str, Any] = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
            **getattr(record, "fields", {}),
        }
        if record.exc_info:
            line["trace"] = self.formatException(record.exc_info)
        return json.dumps(line)


def logging_config(level: str) -> dict[str, Any]:
    """The configuration of all loggers of a server process: lines of JSON on standard error."""
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"json": {"()": JsonLines}},
        "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "json"}},
        "root": {"handlers": ["stderr"], "level": "WARNING"},
        "loggers": {
            "service": {"level": level.upper()},
            "uvicorn": {"level": level.upper()},
            # The service logs requests itself, with their ids.
            "uvicorn.access": {"level": "CRITICAL"},
        },
    }
