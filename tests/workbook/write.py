"""Writes the workbook of openapi_examples/, for two families of sheet programs: `python -m tests.workbook.write`.

The zone is asked for by web functions, so the book holds formulas and no figures of its own. LibreOffice makes the
`.ods` from the `.xlsx`, with the answers of a service that runs meanwhile, so that it shows figures when it is opened.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import get_args

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from service.cli.demo import open_door, serving
from service.parts.catalogue import load_catalogue
from service.schemas.water import Source
from service.settings import Settings
from tests.workbook.calc import ODS, calculated

FOLDER = Path(__file__).parents[2] / "openapi_examples"

BOOK = FOLDER / "zone-of-equal-laterals.xlsx"

PORT = 8000
"""Where `endline demo` and `endline serve` listen if nobody says otherwise."""

ZONE, ANSWER, FINDINGS, BUDGET, ASSUMED = "Zone", "Answer", "Findings", "Loss budget", "Assumed"
NOTES, WORKING = "How it works", "Working"
"""The sheets. What is asked, and tables as they came, stand in the last one."""

BASE, UNITS, QUESTION = "service_address", "units", "question"
"""Names of cells that formulas of all sheets use."""


@dataclass(frozen=True)
class Input:
    """One parameter of the query."""

    parameter: str
    label: str
    value: float | str | None
    unit: tuple[str, str] = ("", "")  # us, metric
    note: str = ""


PRESSURE, LENGTH, FLOW, OUTLET = ("psi", "kPa"), ("ft", "m"), ("gpm", "L/min"), ("gph", "L/h")

INPUTS: dict[str, tuple[Input, ...]] = {
    "Supply": (
        Input("static_pressure", "Pressure with no flow", 64, PRESSURE, "at the tap or the meter, everything shut"),
        Input("test_flow", "Flow of a flow test", 8, FLOW, "leave both empty without a test"),
        Input("residual_pressure", "Pressure during the test", 51, PRESSURE),
        Input("meter_size", "Meter", "0.75in", note="0.625in, 0.75in, 1in …"),
        Input("source", "Where the water comes from", "municipal", note="municipal, well, pond …"),
        Input("temperature", "Water temperature", None, ("°F", "°C"), "68 °F (20 °C) if empty"),
    ),
    "Head": (
        Input("backflow_loss", "Loss in the backflow preventer", 9, PRESSURE, "none if empty"),
        Input("valve_cv", "Cv of the valve", 9, note="gpm at 1 psi, in any units; no valve if empty"),
        Input("filter_mesh", "Mesh of the filter", 150),
        Input("filter_loss", "Loss in the clean filter", 3, PRESSURE),
        Input("dirty_allowance", "More when due for cleaning", 3, PRESSURE),
        Input("regulator", "Set pressure of the regulator", 25, PRESSURE, "or: none"),
    ),
    "Feed and header": (
        Input("feed_pipe", "Pipe from the head", "pvc-sch40-0.75in", note="ids of pipes: /v1/parts?kind=pipe"),
        Input("feed_length", "Its length", 45, LENGTH),
        Input("feed_rise", "How much higher it ends", 2, LENGTH),
        Input("header_pipe", "Pipe of the header", "pe-0.75in"),
        Input("feed_at", "Fed at its", "end", note="end or centre"),
    ),
    "Laterals": (
        Input("laterals", "How many", 8),
        Input("apart", "Apart along the header", 3, LENGTH),
        Input("lateral_pipe", "Pipe", "dripline-17mm"),
        Input("lateral_length", "Length of one", 80, LENGTH),
        Input("lateral_rise", "How much higher it ends", None, LENGTH, "level if empty"),
    ),
    "Outlets": (
        Input("emitter", "Emitter", "inline-compensating-0.6gph", note="ids: /v1/parts?kind=emitter"),
        Input("spacing", "Spacing", 1, LENGTH),
        Input("first_at", "First one at", 0.5, LENGTH, "half a spacing if empty"),
        Input("per_place", "At each place", 1),
    ),
}


@dataclass(frozen=True)
class Result:
    """One value of the answer, by its name there."""

    pick: str
    label: str
    unit: tuple[str, str] = ("", "")
    shape: str = "0.0"


RESULTS = (
    Result("verdict", "Verdict"),
    Result("flow", "Flow of the zone", FLOW, "0.00"),
    Result("zone_inlet_pressure", "Pressure at the zone inlet", PRESSURE),
    Result("end_of_line_pressure", "Pressure at the end of the line", PRESSURE),
    Result("lowest_outlet.pressure", "Lowest pressure of an outlet", PRESSURE),
    Result("highest_outlet.pressure", "Highest pressure of an outlet", PRESSURE),
    Result("critical_outlet.margin", "To spare at the critical outlet", PRESSURE),
    Result("uniformity.emission_uniformity", "Emission uniformity", ("%", "%")),
    Result("uniformity.flow_variation", "Flow variation", ("%", "%")),
    Result("regulator.advice", "Pressure regulator"),
    Result("regulator.thresholds.lowest_without_regulator.pressure", "Supply enough without a regulator", PRESSURE),
    Result("regulator.thresholds.lowest_with_regulator.pressure", "Supply from which the regulator holds", PRESSURE),
    Result("regulator.thresholds.highest_without_regulator.pressure", "Most without a regulator", PRESSURE),
    Result("regulator.suggested_set_pressure", "Suggested set pressure", PRESSURE),
    Result("filter.advice", "Filter"),
    Result("filter.opening", "Widest opening that protects the outlets", ("µm", "µm"), "0"),
)


@dataclass(frozen=True)
class Column:
    """One column of a table, by its name there; a number where it has a shape."""

    name: str
    label: str
    width: int
    shape: str = ""
    unit: tuple[str, str] = ("", "")


@dataclass(frozen=True)
class Listed:
    """A table of the answer on a sheet of its own."""

    sheet: str
    table: str
    title: str
    rows: int
    columns: tuple[Column, ...]
    height: int = 15  # of a row [points]


TABLES = (
    Listed(
        FINDINGS,
        "findings",
        "What a designer would say about the zone",
        20,
        (Column("severity", "severity", 12), Column("where", "where", 20), Column("message", "finding", 110)),
        height=28,
    ),
    Listed(
        BUDGET,
        "budget",
        "Where the pressure goes, down to the outlet with the least to spare",
        24,
        (
            Column("stage", "stage", 34),
            Column("kind", "kind", 14),
            Column("loss", "lost", 14, "0.00", PRESSURE),
            Column("elevation_change", "spent on height", 22, "0.00", PRESSURE),
            Column("pressure_after", "left", 14, "0.00", PRESSURE),
        ),
    ),
    Listed(
        ASSUMED,
        "assumed",
        "What was filled in, since nothing was said",
        20,
        (Column("what", "what", 24), Column("value", "taken for it", 34), Column("why", "why", 96)),
        height=24,
    ),
)

OFFERED: dict[str, tuple[str, ...]] = {
    "B": tuple(pipe.id for pipe in load_catalogue().parts("pipe") if pipe.id),
    "C": tuple(emitter.id for emitter in load_catalogue().parts("emitter") if emitter.id),
    "D": tuple(meter.id for meter in load_catalogue().parts("meter") if meter.id),
    "E": get_args(Source),
}
"""What cells offer to choose from, by the column of the sheet for working that lists it. Others may be written."""

OFFERS = {"feed_pipe": "B", "header_pipe": "B", "lateral_pipe": "B", "emitter": "C", "meter_size": "D", "source": "E"}
"""Inputs, and the column of what they offer."""

NOTES_TEXT = (
    ("Start", "Run the service (endline demo or endline serve) and write its address into the sheet Zone."),
    (
        "Allow links",
        (
            "The sheet asks the service when it is opened and whenever an input changes. Sheet programs ask first "
            "whether they may: allow the links to be updated. Until then cells show an error or what they held before."
        ),
    ),
    (
        "Where it works",
        (
            "The web functions WEBSERVICE, ENCODEURL and FILTERXML are in LibreOffice Calc, and in Excel for Windows; "
            "not in Excel for the Mac nor in a browser. See the README of endline for those and for other programs."
        ),
    ),
    (
        "Decimal comma",
        (
            "Inputs may be written with a decimal comma. Answers always come with a point, and NUMBERVALUE reads them "
            "as such, whatever the computer is set to; VALUE would read 12.5 as a date or an error."
        ),
    ),
    (
        "More values",
        (
            "The column Name in the answer says which value a row shows: any name of the document that /docs describes "
            "will do, such as runs.header.velocity. Copy a row and change the name."
        ),
    ),
    ("Errors", "What cannot be answered is told in the cell, in a line that begins with ERROR:."),
    (
        "Measure",
        (
            "These figures hold for the parts as described; measure pressure at the head and at the line ends on site. "
            "Backflow protection is for the local authority."
        ),
    ),
)

LETTERS = "ABCDE"

PORTRAIT = 125
"""Width from which a sheet is printed across: its type would be too small else. [characters]"""

INK, SOFT = "1A1A1A", "5F5F5F"
HEAD_FILL, INPUT_FILL = PatternFill("solid", fgColor="E3EBF4"), PatternFill("solid", fgColor="FFF8DC")
THIN = Side(style="thin", color="C8C8C8")
TITLE, HEADING = Font(name="Arial", size=14, bold=True, color=INK), Font(name="Arial", size=10, bold=True, color=INK)
PLAIN, QUIET = Font(name="Arial", size=10, color=INK), Font(name="Arial", size=9, color=SOFT)
VERDICT = Font(name="Arial", size=12, bold=True, color=INK)


def workbook() -> Workbook:
    """The book."""
    book = Workbook()
    zone = book.active
    zone.title = ZONE
    answer, *tables, notes, working = (
        book.create_sheet(name) for name in (ANSWER, *(listed.sheet for listed in TABLES), NOTES, WORKING)
    )
    _name(book, BASE, ZONE, "$B$4")
    _name(book, UNITS, ZONE, "$B$5")
    _name(book, QUESTION, WORKING, "$A$3")
    _write_zone(zone)
    _write_answer(answer)
    for listed, sheet in zip(TABLES, tables, strict=True):
        _write_table(sheet, listed)
    _write_notes(notes)
    _write_working(working)
    book.calculation.fullCalcOnLoad = True
    book.properties.creator = "endline"
    return book


def _write_zone(sheet: Worksheet) -> None:
    _layout(sheet, (34, 30, 9, 50, 20), printed=4)
    _put(sheet, "A1", "A drip zone of equal laterals", TITLE)
    _put(sheet, "A2", "Fill in the shaded cells. The other sheets ask the service and show what it says.", QUIET)
    _field(sheet, 4, "Address of the service", f"http://127.0.0.1:{PORT}", note="as endline prints it")
    _field(sheet, 5, "Units", "us", note="us or metric; the numbers below are read in these units")
    for choices, cell in (("us,metric", "B5"), ("end,centre", f"B{ROWS['feed_at']}")):
        rule = DataValidation(type="list", formula1=f'"{choices}"', allow_blank=True)
        sheet.add_data_validation(rule)
        rule.add(cell)
    for parameter, letter in OFFERS.items():
        offered = f"{WORKING}!${letter}${FIRST_PART}:${letter}${FIRST_PART + len(OFFERED[letter]) - 1}"
        rule = DataValidation(type="list", formula1=offered, allow_blank=True, showErrorMessage=False)
        sheet.add_data_validation(rule)
        rule.add(f"B{ROWS[parameter]}")
    for group, inputs in INPUTS.items():
        _heading(sheet, ROWS[inputs[0].parameter] - 1, (group, "", "", "", "parameter"))
        for each in inputs:
            row = ROWS[each.parameter]
            _field(sheet, row, each.label, each.value, unit=_unit(each.unit), note=each.note)
            _put(sheet, f"E{row}", each.parameter, QUIET)
    sheet.freeze_panes = "A4"
    sheet.print_area = f"A1:D{max(ROWS.values())}"


def _rows() -> dict[str, int]:
    """The row of each input on its sheet."""
    rows, row = {}, 6
    for inputs in INPUTS.values():
        row += 1
        for each in inputs:
            rows[each.parameter] = row = row + 1
        row += 1
    return rows


ROWS = _rows()


def _write_answer(sheet: Worksheet) -> None:
    _layout(sheet, (42, 24, 9, 62, 16), printed=3)
    _put(sheet, "A1", "What the service says of the zone", TITLE)
    _put(sheet, "A2", "Each value is a question to the service; nothing is computed here.", QUIET)
    _heading(sheet, 4, ("of the zone", "value", "unit", "name in the answer", "as it came"))
    sheet["B4"].alignment = Alignment(horizontal="right")
    sheet["C4"].alignment = Alignment(horizontal="left", indent=1)
    for row, each in enumerate(RESULTS, start=5):
        came = f'=IFERROR(_xlfn.WEBSERVICE({QUESTION}&"&errors=text&pick="&D{row}),"no answer from "&{BASE})'
        number = f'IFERROR(_xlfn.NUMBERVALUE(E{row},".",","),E{row})'
        _put(sheet, f"A{row}", each.label, PLAIN)
        _put(sheet, f"B{row}", f'=IF(E{row}="","none",IF(LEFT(E{row},6)="ERROR:",E{row},{number}))', PLAIN, each.shape)
        sheet[f"B{row}"].alignment = Alignment(horizontal="right")
        _put(sheet, f"C{row}", _unit(each.unit), QUIET)
        sheet[f"C{row}"].alignment = Alignment(horizontal="left", indent=1)
        _put(sheet, f"D{row}", each.pick, QUIET)
        _put(sheet, f"E{row}", came, QUIET)
        sheet[f"E{row}"].alignment = Alignment(horizontal="fill")
        _line(sheet, row, 5)
    sheet["B5"].font = VERDICT
    sheet.freeze_panes = "A5"
    sheet.print_area = f"A1:C{4 + len(RESULTS)}"


def _write_table(sheet: Worksheet, listed: Listed) -> None:
    """A table of the answer, each cell read from the XML in which the table came as a whole."""
    _layout(sheet, [column.width for column in listed.columns])
    xml = f"{WORKING}!$A${_xml_row(listed)}"
    rows = f'IFERROR(_xlfn.FILTERXML({xml},"count(//row)"),0)'
    _put(sheet, "A1", listed.title, TITLE)
    # An empty table must not look like an answer where there is none.
    _put(sheet, "A2", f'=IF(LEFT({xml},1)="<",IF({rows}=0,"none",""),{xml})', QUIET)
    for letter, column in zip(LETTERS, listed.columns, strict=False):
        label = f'="{column.label}, "&{_unit(column.unit)[1:]}' if column.shape else column.label
        _put(sheet, f"{letter}3", label, HEADING)
        sheet[f"{letter}3"].fill = HEAD_FILL
        sheet[f"{letter}3"].alignment = Alignment(horizontal="right" if column.shape else "left")
        for number in range(1, listed.rows + 1):
            cell = f"{letter}{3 + number}"
            path = f"//row[{number}]/{column.name}"
            found = f"number({path})" if column.shape else path
            _put(sheet, cell, f'=IFERROR(_xlfn.FILTERXML({xml},"{found}"),"")', PLAIN, column.shape or "General")
            sheet[cell].alignment = Alignment(wrap_text=not column.shape, vertical="top")
    # No lines: those of rows that the answer does not fill would show on paper.
    for row in range(4, 4 + listed.rows):
        sheet.row_dimensions[row].height = listed.height
    sheet.print_title_rows = "1:3"
    sheet.freeze_panes = "A4"


def _write_working(sheet: Worksheet) -> None:
    _layout(sheet, (120, 26, 34, 12, 16))
    _put(sheet, "A1", "What is asked, and tables as they came", TITLE)
    parts = []
    for row, (parameter, of_input) in enumerate(ROWS.items(), start=FIRST_PART):
        value = f"{ZONE}!B{of_input}"
        _put(sheet, f"A{row}", f'=IF({value}="","","&{parameter}="&_xlfn.ENCODEURL({value}))', QUIET)
        parts.append(f"A{row}")
    _put(sheet, "A3", f'={BASE}&"/v1/zones/uniform?units="&{UNITS}&' + "&".join(parts), PLAIN)
    sheet["A3"].alignment = Alignment(wrap_text=True, vertical="top")
    sheet.row_dimensions[3].height = 90
    for listed in TABLES:
        cell = f"A{_xml_row(listed)}"
        asked = f'_xlfn.WEBSERVICE({QUESTION}&"&format=xml&errors=text&table={listed.table}")'
        _put(sheet, cell, f'=IFERROR({asked},"no answer from "&{BASE})', QUIET)
        sheet[cell].alignment = Alignment(horizontal="fill")
    for letter, offered in OFFERED.items():
        for row, choice in enumerate(offered, start=FIRST_PART):
            _put(sheet, f"{letter}{row}", choice, QUIET)


FIRST_PART = 8


def _xml_row(listed: Listed) -> int:
    """Where on the sheet for working the XML of a table stands."""
    return 4 + TABLES.index(listed)


def _write_notes(sheet: Worksheet) -> None:
    _layout(sheet, (18, 100))
    _put(sheet, "A1", "How it works", TITLE)
    for row, (topic, text) in enumerate(NOTES_TEXT, start=3):
        _put(sheet, f"A{row}", topic, HEADING)
        _put(sheet, f"B{row}", text, PLAIN)
        sheet[f"A{row}"].alignment = Alignment(vertical="top")
        sheet[f"B{row}"].alignment = Alignment(wrap_text=True, vertical="top")
        sheet.row_dimensions[row].height = 14 * (1 + len(text) // 105) + 4


def _unit(labels: tuple[str, str]) -> str:
    us, metric = labels
    return us if us == metric else f'=IF({UNITS}="metric","{metric}","{us}")'


def _layout(sheet: Worksheet, widths: Sequence[int], *, printed: int | None = None) -> None:
    """Set the widths of the columns, of which the first `printed` ones go on paper, or all."""
    for letter, width in zip(LETTERS, widths, strict=False):
        sheet.column_dimensions[letter].width = width
    sheet.sheet_view.showGridLines = False
    sheet.page_setup.orientation = "portrait" if sum(widths[:printed]) < PORTRAIT else "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True


def _put(sheet: Worksheet, cell: str, value: object, font: Font, shape: str = "General") -> None:
    sheet[cell] = value
    sheet[cell].font = font
    sheet[cell].number_format = shape


def _field(sheet: Worksheet, row: int, label: str, value: object, *, unit: str = "", note: str = "") -> None:
    _put(sheet, f"A{row}", label, PLAIN)
    _put(sheet, f"B{row}", value, PLAIN)
    _put(sheet, f"C{row}", unit, QUIET)
    sheet[f"C{row}"].alignment = Alignment(horizontal="left", indent=1)
    _put(sheet, f"D{row}", note, QUIET)
    box = sheet[f"B{row}"]
    box.fill, box.border = INPUT_FILL, Border(THIN, THIN, THIN, THIN)
    box.alignment = Alignment(horizontal="right")


def _heading(sheet: Worksheet, row: int, words: Sequence[str]) -> None:
    for letter, word in zip(LETTERS, words, strict=False):
        _put(sheet, f"{letter}{row}", word, HEADING)
        sheet[f"{letter}{row}"].fill = HEAD_FILL


def _line(sheet: Worksheet, row: int, columns: int) -> None:
    for letter in LETTERS[:columns]:
        sheet[f"{letter}{row}"].border = Border(bottom=THIN)


def _name(book: Workbook, name: str, sheet: str, cell: str) -> None:
    book.defined_names[name] = DefinedName(name, attr_text=f"{sheet}!{cell}")


def rewrite() -> None:
    """Write both books."""
    workbook().save(BOOK)
    settings = Settings(port=PORT)
    with open_door(settings, PORT) as door, serving(settings, door):
        calculated(BOOK, saved={BOOK.with_suffix(".ods"): ODS})


if __name__ == "__main__":
    rewrite()
