"""Drives a spreadsheet program without a screen: writes formulas and links into a book, opens it anew, reads its cells.

Runs under the Python that the program's bridge belongs to, apart from the tests, which lack that bridge. Reads a job as
JSON, prints the cells. The three things that make the program fetch without asking: the setting for links, a folder
that is trusted, and a load that says so.
"""

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager, suppress
from pathlib import Path

SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Content/Update">
<prop oor:name="Link" oor:op="fuse"><value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Common/Security/Scripting">
<prop oor:name="SecureURL" oor:op="fuse"><value><it>{trusted}</it></value></prop></item>
<item oor:path="/org.openoffice.Setup/L10N">
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{locale}</value></prop></item>
</oor:items>
"""

ALWAYS_UPDATE = 3
"""com.sun.star.document.UpdateDocMode.FULL_UPDATE"""


def properties(**values):
    import uno  # noqa: F401 - makes the next one possible
    from com.sun.star.beans import PropertyValue

    return tuple(PropertyValue(Name=name, Value=value) for name, value in values.items())


def connected(pipe):
    import uno

    context = uno.getComponentContext()
    resolver = context.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", context)
    for _ in range(240):
        try:
            remote = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except uno.getClass("com.sun.star.connection.NoConnectException"):
            time.sleep(0.25)
        else:
            return remote.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", remote)
    raise TimeoutError


def write(desktop, job, path):
    book = desktop.loadComponentFromURL("private:factory/scalc", "_blank", 0, properties(Hidden=True))
    cells = book.Sheets.getByIndex(0)
    for cell, formula in job["formulas"].items():
        cells.getCellRangeByName(cell).Formula = formula
    for number, link in enumerate(job["links"], start=1):
        book.Sheets.insertNewByName(f"link {number}", number)
        corner = book.Sheets.getByIndex(number).getCellByPosition(0, 0).CellAddress
        book.AreaLinks.insertAtPosition(corner, link["url"], link["source"], link["filter"], link["options"])
    book.storeToURL(path.as_uri(), ())
    book.close(True)


def read(desktop, job, path):
    opening = properties(Hidden=True, UpdateDocMode=ALWAYS_UPDATE)
    book = desktop.loadComponentFromURL(path.as_uri(), "_blank", 0, opening)
    book.calculateAll()
    cells = book.Sheets.getByIndex(0)
    found = {name: cells.getCellRangeByName(name) for name in job["formulas"]}
    answer = {
        "cells": {
            name: {"text": cell.String, "value": cell.Value, "error": cell.getError()} for name, cell in found.items()
        },
        "links": [filled(book.Sheets.getByIndex(number)) for number in range(1, len(job["links"]) + 1)],
    }
    book.close(True)
    return answer


def filled(sheet):
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    end = cursor.RangeAddress
    area = sheet.getCellRangeByPosition(0, 0, end.EndColumn, end.EndRow)
    return {"data": area.getDataArray(), "formulas": area.getFormulaArray()}


@contextmanager
def running(locale):
    """The program as it is set for a locale, and a folder that it trusts."""
    folder = Path(tempfile.mkdtemp())
    trusted, user = folder / "trusted", folder / "profile" / "user"
    trusted.mkdir()
    user.mkdir(parents=True)
    settings = SETTINGS.format(trusted=trusted.as_uri(), locale=locale)
    (user / "registrymodifications.xcu").write_text(settings, encoding="utf-8")
    pipe = f"sheet{os.getpid()}"
    command = [
        "soffice",
        f"-env:UserInstallation={user.parent.as_uri()}",
        "--headless",
        "--norestore",
        "--nodefault",
        f"--accept=pipe,name={pipe};urp;",
    ]
    # In a group of its own: what is started here is a script that waits for the program itself.
    office = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
    try:
        desktop = connected(pipe)
        yield desktop, trusted
        desktop.terminate()
        office.wait(30)
    finally:
        with suppress(ProcessLookupError):
            os.killpg(office.pid, signal.SIGKILL)
        office.wait(30)
        shutil.rmtree(folder, ignore_errors=True)


def main():
    job = json.load(sys.stdin)
    with running(job["locale"]) as (desktop, trusted):
        write(desktop, job, trusted / "book.ods")
        print(json.dumps(read(desktop, job, trusted / "book.ods")))


if __name__ == "__main__":
    main()
