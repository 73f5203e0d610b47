"""Drives one headless office process through batches of jobs.

usage: office.py SOFFICE PROFILE

Each line of the standard input names two files, of jobs and for their results, as
["JOBS", "RESULTS"]; office_test.go says what is in them. The answer is a line "done". The
office process ends with this script, and this script with the pipe at its standard input.
"""

import json
import os
import queue
import re
import signal
import subprocess
import sys
import threading
import time

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException

# com.sun.star.sheet.CellFlags
VALUE, DATETIME, STRING, FORMULA = 1, 2, 4, 16
CONTENTS = VALUE | DATETIME | STRING | FORMULA

# What a name refers to, as the office writes it: $Wing.$B$10:$C$11
PLACE = re.compile(r"\$('(?:[^']|'')+'|[^'.#]+)\.(\$[A-Z]+\$[0-9]+)(?::(\$[A-Z]+\$[0-9]+))?$")


def start(soffice, profile):
    pipe = "pipe,name=gusset%d" % os.getpid()
    process = subprocess.Popen(
        [soffice, "--headless", "--norestore", "--nologo", "--nodefault",
         "-env:UserInstallation=" + uno.systemPathToFileUrl(profile),
         "--accept=%s;urp;StarOffice.ComponentContext" % pipe],
        stdin=subprocess.DEVNULL, stdout=sys.stderr, start_new_session=True)
    return process, "uno:%s;urp;StarOffice.ComponentContext" % pipe


def stop(process):
    # soffice is a script with children; the group is its own.
    try:
        os.killpg(process.pid, signal.SIGKILL)
    except ProcessLookupError:
        pass


def take_orders(process, orders):
    for line in sys.stdin:
        orders.put(json.loads(line))
    stop(process)
    # At once: the threads of the uno bridge, whose office has just been killed, may crash an orderly end of Python.
    os._exit(0)


def connect(process, url):
    resolver = uno.getComponentContext().ServiceManager.createInstance("com.sun.star.bridge.UnoUrlResolver")
    while True:
        try:
            context = resolver.resolve(url)
            return context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
        except NoConnectException:
            if process.poll() is not None:
                raise SystemExit("soffice ended with status %d before it could be reached" % process.returncode)
            time.sleep(0.05)


def properties(**values):
    return tuple(PropertyValue(Name=name, Value=value) for name, value in values.items())


def letters(column):
    text = ""
    while column >= 0:
        text = chr(ord("A") + column % 26) + text
        column = column // 26 - 1
    return text


def addresses(ranges):
    """The places that the ranges cover, as (row, column)."""
    return {(row, column)
            for a in ranges.RangeAddresses
            for row in range(a.StartRow, a.EndRow + 1)
            for column in range(a.StartColumn, a.EndColumn + 1)}


def truths(sheet):
    """The places that show TRUE or FALSE: the office keeps truth as a number with a format of its own."""
    search = sheet.createSearchDescriptor()
    search.setSearchString("(TRUE|FALSE)")
    search.SearchRegularExpression = True
    search.SearchWords = True  # the whole cell
    search.SearchType = 1  # what is shown, not the formula
    found = sheet.findAll(search)
    return addresses(found) if found is not None else set()


def dump_cell(value, formula, truth, shown):
    cell = {"formula": formula} if formula else {}
    if value is None:
        cell.update(kind="error", text=shown())
    elif isinstance(value, str):
        cell.update(kind="text", text=value)
    else:
        cell.update(kind="boolean" if truth else "number", number=value)
    return cell


def dump_sheet(sheet):
    cells = {}
    used = addresses(sheet.queryContentCells(CONTENTS))
    if not used:
        return {"name": sheet.Name, "cells": cells}
    top, left = min(row for row, _ in used), min(column for _, column in used)
    bottom, right = max(row for row, _ in used), max(column for _, column in used)
    block = sheet.getCellRangeByPosition(left, top, right, bottom)
    values, formulas = block.getDataArray(), block.getFormulaArray()
    calculated, truth = addresses(sheet.queryContentCells(FORMULA)), truths(sheet)
    for row, column in sorted(used):
        formula = formulas[row - top][column - left] if (row, column) in calculated else ""
        value = values[row - top][column - left]
        cells[letters(column) + str(row + 1)] = dump_cell(
            value, formula, (row, column) in truth, lambda: sheet.getCellByPosition(column, row).String)
    return {"name": sheet.Name, "cells": cells}


def dump_name(content):
    place = PLACE.match(content)
    if place is None:
        return {"content": content}
    sheet, first, last = place.groups()
    if sheet.startswith("'"):
        sheet = sheet[1:-1].replace("''", "'")
    first = first.replace("$", "")
    return {"content": content, "sheet": sheet, "first": first, "last": last.replace("$", "") if last else first}


def dump_names(document):
    # Every question to the office takes half a millisecond, and there are many names: the office lists them in a sheet.
    document.Sheets.insertNewByName("list of names", document.Sheets.Count)
    sheet = document.Sheets.getByName("list of names")
    names = {}
    if document.NamedRanges.Count > 0:
        document.NamedRanges.outputList(sheet.getCellByPosition(0, 0).CellAddress)
        listed = sheet.getCellRangeByPosition(0, 0, 1, document.NamedRanges.Count - 1)
        names = {name: content.lstrip("=") for name, content in listed.getFormulaArray()}
    document.Sheets.removeByName("list of names")
    for sheet in document.Sheets:
        for name in sheet.NamedRanges.ElementNames:
            names[sheet.Name + "!" + name] = sheet.NamedRanges.getByName(name).Content
    return {name: dump_name(content) for name, content in names.items()}


def dump_sheets(document):
    return [dump_sheet(sheet) for sheet in document.Sheets]


def named_cell(document, step):
    cells = document.NamedRanges.getByName(step["name"]).getReferredCells()
    if cells is None:
        raise ValueError("the name %s refers to no cell" % step["name"])
    # Not cells.getCellByPosition: the offset may lead out of the range, as a builder may write below a table.
    a = cells.getRangeAddress()
    sheet = cells.getSpreadsheet()
    cell = sheet.getCellByPosition(a.StartColumn + step["column"], a.StartRow + step["row"])
    if sheet.isProtected() and cell.CellProtection.IsLocked:
        raise ValueError("the cell of %s is locked" % step["name"])
    return cell


def named_sheet(document, step):
    sheet = document.Sheets.getByName(step["sheet"])
    if sheet.isProtected():
        raise ValueError("the sheet %s is protected" % step["sheet"])
    return sheet


def move_cells(document, step):
    sheet = named_sheet(document, step)
    to = sheet.getCellRangeByName(step["to"]).getCellByPosition(0, 0).getCellAddress()
    sheet.moveRange(to, sheet.getCellRangeByName(step["from"]).getRangeAddress())


STEPS = {
    "number": lambda d, s: named_cell(d, s).setValue(float(s["number"])),
    "text": lambda d, s: named_cell(d, s).setString(s["text"]),
    "formula": lambda d, s: named_cell(d, s).setFormula(s["text"]),
    "type": lambda d, s: setattr(named_cell(d, s), "FormulaLocal", s["text"]),
    "clear": lambda d, s: named_cell(d, s).clearContents(CONTENTS),
    "unprotect": lambda d, s: d.Sheets.getByName(s["sheet"]).unprotect(""),
    "insert rows": lambda d, s: named_sheet(d, s).Rows.insertByIndex(s["row"] - 1, s["count"]),
    "delete rows": lambda d, s: named_sheet(d, s).Rows.removeByIndex(s["row"] - 1, s["count"]),
    "rename sheet": lambda d, s: d.Sheets.getByName(s["sheet"]).setName(s["to"]),
    "move sheet": lambda d, s: d.Sheets.moveByName(s["sheet"], s["position"] - 1),
    "move cells": move_cells,
}


def work(desktop, job):
    document = desktop.loadComponentFromURL(uno.systemPathToFileUrl(job["in"]), "_blank", 0, properties(Hidden=True))
    if document is None:
        raise ValueError("the office could not open the file")
    try:
        loaded = None
        if job["loaded"]:
            loaded = {"sheets": dump_sheets(document), "names": dump_names(document)}
        for step in job["steps"] or []:
            STEPS[step["do"]](document, step)
        if job["recalculate"]:
            document.calculateAll()
        if job["xlsx"]:
            document.storeToURL(uno.systemPathToFileUrl(job["xlsx"]), properties(FilterName="Calc MS Excel 2007 XML"))
        if job["xls"]:
            document.storeToURL(uno.systemPathToFileUrl(job["xls"]), properties(FilterName="MS Excel 97"))
        if job["pdf"]:
            document.storeToURL(uno.systemPathToFileUrl(job["pdf"]), properties(FilterName="calc_pdf_Export"))
        after = None
        if not job["unread"]:
            after = {"sheets": dump_sheets(document), "names": dump_names(document)}
        return {"loaded": loaded, "after": after}
    finally:
        document.close(True)


def main(soffice, profile):
    process, url = start(soffice, profile)
    orders = queue.Queue()
    threading.Thread(target=take_orders, args=(process, orders), daemon=True).start()
    desktop = connect(process, url)
    while process.poll() is None:
        jobs_file, results_file = orders.get()
        with open(jobs_file, encoding="utf-8") as f:
            jobs = json.load(f)
        results = []
        for job in jobs:
            print("working on", job["in"], file=sys.stderr, flush=True)
            try:
                results.append(work(desktop, job))
            except Exception as e:
                results.append({"error": "%s: %s" % (type(e).__name__, e)})
        with open(results_file, "w", encoding="utf-8") as f:
            json.dump(results, f)
        print("done", flush=True)


main(*sys.argv[1:])
