"""The parts of README.md that are run: a command stands there, and below it what it prints."""

import re
import shlex
from pathlib import Path

README = Path(__file__).parents[2] / "README.md"

_BLOCK = r"(<!-- {name} -->\n```[a-z]*\n)(.*?)(```\n)"


def block(name: str) -> str:
    """The text of the fenced block behind the comment of this name."""
    found = re.search(_BLOCK.format(name=re.escape(name)), README.read_text(encoding="utf-8"), re.DOTALL)
    assert found, f"README.md has no block named {name}"
    return found[2]


def replace_block(name: str, text: str) -> None:
    """Write another text into that block."""
    pattern = re.compile(_BLOCK.format(name=re.escape(name)), re.DOTALL)
    README.write_text(pattern.sub(lambda found: found[1] + text + found[3], README.read_text("utf-8")), "utf-8")


def curl() -> tuple[str, bytes]:
    """Path and body that the curl example sends."""
    words = shlex.split(block("curl"))
    url = next(word for word in words if word.startswith("http://"))
    return "/" + url.split("/", 3)[3], words[words.index("-d") + 1].encode()
