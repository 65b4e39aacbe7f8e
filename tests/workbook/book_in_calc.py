"""Opens a book in a spreadsheet program without a screen, fills in cells, lets it calculate, reads and saves.

Runs under the Python that the program's bridge belongs to, as the driver beside the tests of formats does.
"""

import json
import shutil
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "formats" / "calc"))
from drive import ALWAYS_UPDATE, properties, running

DATE, VALUE, STRING, FORMULA = 2, 1, 4, 16
"""com.sun.star.sheet.CellFlags"""


def fill_in(book, cells):
    """Type into cells, named as `Sheet.B4`, as someone at the keyboard does in that locale."""
    for name, typed in cells.items():
        sheet, _, cell = name.partition(".")
        book.Sheets.getByName(sheet).getCellRangeByName(cell).FormulaLocal = typed


def read(book):
    """Every cell that holds something, by sheet and name."""
    found = {}
    for sheet in (book.Sheets.getByIndex(number) for number in range(book.Sheets.Count)):
        cells = found[sheet.Name] = {}
        for area in sheet.queryContentCells(VALUE | DATE | STRING | FORMULA).getCells():
            name = area.AbsoluteName.rpartition(".")[2].replace("$", "")
            told = {"text": area.String, "value": area.Value, "error": area.getError(), "formula": area.Formula}
            cells[name] = told
    return found


def main():
    job = json.load(sys.stdin)
    with running(job["locale"]) as (desktop, trusted):
        path = trusted / Path(job["book"]).name
        shutil.copy(job["book"], path)
        opening = properties(Hidden=True, UpdateDocMode=ALWAYS_UPDATE)
        book = desktop.loadComponentFromURL(path.as_uri(), "_blank", 0, opening)
        fill_in(book, job["typed"])
        book.calculateAll()
        for target, written_by in job["saved"].items():
            book.storeToURL(Path(target).as_uri(), properties(FilterName=written_by))
        print(json.dumps(read(book)))
        book.close(True)


if __name__ == "__main__":
    main()
