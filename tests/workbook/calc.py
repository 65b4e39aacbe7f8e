"""The workbook in LibreOffice Calc, driven from outside."""

import json
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

DRIVER = Path(__file__).with_name("book_in_calc.py")

PYTHON_OF_ITS_BRIDGE = "/usr/bin/python3"

ODS, PDF = "calc8", "calc_pdf_Export"
"""How LibreOffice calls what it writes."""

Cells = dict[str, dict[str, dict[str, Any]]]
"""By sheet and cell: text, value, error and formula."""


def calculated(
    book: Path,
    *,
    locale: str = "en-US",
    typed: Mapping[str, str] | None = None,
    saved: Mapping[Path, str] | None = None,
) -> Cells:
    """The cells of a book after some were `typed` into and all were calculated; also `saved`, each by a filter."""
    job = {
        "book": str(book),
        "locale": locale,
        "typed": dict(typed or {}),
        "saved": {str(path.resolve()): written_by for path, written_by in (saved or {}).items()},
    }
    done = subprocess.run(
        [PYTHON_OF_ITS_BRIDGE, str(DRIVER)],
        input=json.dumps(job),
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    cells: Cells = json.loads(done.stdout)
    return cells
