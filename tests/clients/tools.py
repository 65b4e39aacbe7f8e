"""The npm packages that tests of generated clients use; `.ci/run` installs them."""

from pathlib import Path

FOLDER = Path(__file__).parent / "node"


def tool(name: str) -> Path:
    """A program of an npm package. Its absence is a failure, never a silent skip."""
    program = FOLDER / "node_modules/.bin" / name
    assert program.exists(), f"{name} is not installed: run npm install in {FOLDER}"
    return program
