"""Fixtures in every format that LibreOffice writes, read by pintle and compared with what openpyxl sees.

usage: formats.py PINTLE FOLDER

FOLDER holds a folder for each fixture, written by `cargo test --test layouts` with PINTLE_FIXTURES set.

1. Every fixture, text as a workbook too, is saved anew by LibreOffice as xlsx, ods and xls; openpyxl's own workbook, with merges, strike-through, hidden parts and dates, is saved as ods and xls.
2. The texts of every row in pintle's ledger are the values that openpyxl reads from LibreOffice's xlsx.
3. The openings, sets and lines that pintle reads are the same from every format.
"""
import csv
import datetime
import json
import pathlib
import re
import subprocess
import sys
import tempfile

import openpyxl
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.styles import Font

PINTLE, FOLDER = sys.argv[1], pathlib.Path(sys.argv[2])
problems = []
# Files that are converted in one run.
BATCH = 100


def null_words():
    """What the trade's lists call the words of programs for an empty cell."""
    with open("catalogs/trade/schedule-words.csv", encoding="utf-8", newline="") as file:
        return {word for row in csv.reader(file) if row and row[0] == "null-cell" for word in row[1].split("|")}


NULLS = null_words()

def convert(files, ending, folder):
    folder.mkdir(parents=True, exist_ok=True)
    # Asked for several hundred files at once, the program stops at some of them without a word.
    for at in range(0, len(files), BATCH):
        convert_batch(files[at:at + BATCH], ending, folder)


def convert_batch(files, ending, folder):
    with tempfile.TemporaryDirectory() as profile:
        subprocess.run(
            ["soffice", f"-env:UserInstallation={pathlib.Path(profile).as_uri()}", "--headless", "--convert-to", ending,
             "--outdir", str(folder), *map(str, files)],
            check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=600)


def read(path):
    run = subprocess.run([PINTLE, "check", "--json", str(path)], capture_output=True, text=True)
    return json.loads(run.stdout) if run.returncode in (0, 1) else None


def what(record):
    """What was read, without places and file names."""
    read_as = {key: value for key, value in record["as_read"].items() if key != "inputs"}
    return [strip(thing) for thing in read_as["openings"]], [strip(thing) for thing in read_as["sets"]]


def strip(thing):
    """Without places, at any depth; runs of spaces as one."""
    if isinstance(thing, dict):
        return {key: strip(value) for key, value in thing.items() if key not in ("at", "place")}
    if isinstance(thing, list):
        return [strip(value) for value in thing]
    return squeezed(thing) if isinstance(thing, str) else thing


def shown(value):
    """A value of openpyxl in the words of the ledger; None when formats may differ (dates, long fractions)."""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, (datetime.date, datetime.datetime, datetime.time)):
        return None
    if isinstance(value, float):
        return f"{value:g}" if abs(value) < 1e6 and round(value, 4) == value else None
    return str(value)


def decoded(words):
    """Signs that were opened in the wrong encoding turned back by Python's own codecs; a quote that lost its last byte closes."""
    def sign(run):
        try:
            return run.group().encode("cp1252").decode("utf-8")
        except UnicodeError:
            return run.group()
    return re.sub("\u00e2\u20ac(?![^\\x00-\\x7f])", "\u201d", re.sub("\u00e2..|\u00c2.", sign, words))


def squeezed(text):
    return re.sub(r"\s+", " ", text).strip()


def compare_cells(path):
    """Every row of the workbook against the ledger."""
    record = read(path)
    if record is None:
        return 0
    ledger = {(row["sheet"], row["row"]): row["text"] for row in record["ledger"]}
    checked = 0
    for sheet in openpyxl.load_workbook(path, data_only=True, rich_text=True):
        for row in sheet.iter_rows():
            values = [cell.value for cell in row if cell.value is not None and str(cell.value).strip()]
            # What programs write for an empty cell (null-cell in catalogs/trade/schedule-words.csv) is no word of the row.
            values = [value for value in values if str(value) not in NULLS]
            if not values:
                continue
            text = ledger.pop((sheet.title, row[0].row), None)
            if text is None:
                problems.append(f"{path.name}, {sheet.title} row {row[0].row}: not in the ledger: {values}")
                continue
            struck = any(cell.font and cell.font.strike for cell in row)
            for value in values:
                # Words struck inside a cell are left out of the ledger.
                words = None if isinstance(value, CellRichText) else shown(value)
                formatted = any(cell.value == value and cell.number_format not in ("General", "@") for cell in row)
                if words is None or struck or formatted or len(text) >= 115:
                    continue
                checked += 1
                if squeezed(words) not in squeezed(text) and squeezed(decoded(words)) not in squeezed(text):
                    problems.append(f"{path.name}, {sheet.title} row {row[0].row}: \"{words}\" is not in \"{text}\"")
    for (sheet, row), text in ledger.items():
        problems.append(f"{path.name}, {sheet} row {row}: in the ledger, but empty for openpyxl: {text}")
    return checked


def own_book(folder):
    """A workbook that neither pintle nor its writing library made."""
    book = openpyxl.Workbook()
    doors = book.active
    doors.title = "Doors"
    for row in [["DOOR NO.", "SIZE", "RATING", "HW SET", "REMARKS"], ["101", "3070", "20", "1"], ["102", "3070", "45"],
                ["103", "3070", None, "2"], ["104", "3070", None, "2"], ["105", "3070", None, "2"], ["106", "3070", None, "2"],
                ["107", None, None, "1"]]:
        doors.append(row)
    doors.merge_cells("D2:D3")
    doors.row_dimensions[5].hidden = True
    doors.column_dimensions["C"].hidden = True
    for cell in doors[6]:
        cell.font = Font(strike=True)
    doors["E7"] = CellRichText("provide ", TextBlock(InlineFont(strike=True), "card reader"), " wall stop")
    doors["B8"] = datetime.date(2026, 3, 4)
    doors["B8"].number_format = "d-mmm"
    old = book.create_sheet("Old sets")
    old.append(["HARDWARE SET 1"])
    old.append(["3 EA HINGE"])
    old.sheet_state = "hidden"
    path = folder / "own.xlsx"
    book.save(path)
    return path


def check_marks(path, wanted):
    record = read(path)
    codes = {finding["rule"] for finding in record["findings"]} if record else set()
    for code in wanted:
        if code not in codes:
            problems.append(f"{path}: no finding {code}")
    numbers = [opening["number"] for opening in record["openings"]] if record else []
    if ("105" in numbers) == ("struck-through" in wanted):
        problems.append(f"{path}: the struck door: {numbers}")
    sets = {opening["number"]: opening.get("set") for opening in record["openings"]} if record else {}
    if sets.get("102") != "1":
        problems.append(f"{path}: the merged set does not count for door 102: {sets.get('102')}")


def main():
    ours = sorted(path for path in FOLDER.glob("*/*.xlsx") if path.parent.name not in ("staged", "again"))
    own = own_book(FOLDER)
    again = {ending: FOLDER / "again" / ending for ending in ("xlsx", "ods", "xls")}
    named = {}
    staged = FOLDER / "staged"
    staged.mkdir(exist_ok=True)
    for path in ours:
        # One folder for all, so that LibreOffice starts once a format.
        name = f"{path.parent.name}-{path.stem}.xlsx"
        (staged / name).write_bytes(path.read_bytes())
        named[name] = path
    for ending, folder in again.items():
        convert([*sorted(staged.glob("*.xlsx")), own], ending, folder)
    cells = compared = 0
    for name, path in named.items():
        native = read(path)
        cells += compare_cells(again["xlsx"] / name)
        for ending, folder in again.items():
            other = read(folder / f"{pathlib.Path(name).stem}.{ending}")
            if (native is None) != (other is None):
                problems.append(f"{name}: read as xlsx {native is not None}, as {ending} of LibreOffice {other is not None}")
            elif native:
                compared += 1
                if what(native) != what(other):
                    differ = [pair for pair in zip(what(native)[0] + what(native)[1], what(other)[0] + what(other)[1]) if pair[0] != pair[1]]
                    problems.append(f"{name}: {ending} of LibreOffice reads differently: {differ[:2]}")
    seen = ["hidden-rows", "hidden-columns", "hidden-sheet", "struck-through", "merged-cells", "date-for-size"]
    check_marks(own, seen)
    check_marks(again["xlsx"] / "own.xlsx", seen)
    check_marks(again["ods"] / "own.ods", seen)
    check_marks(again["xls"] / "own.xls", seen)
    if cells < 200 or compared < 20:
        problems.append(f"only {cells} cells and {compared} readings were compared")
    print(f"formats: {len(named)} workbooks, {cells} cells and {compared} readings compared, strike-through and hidden parts seen")
    for problem in problems[:40]:
        print("  wrong:", problem)
    return 1 if problems else 0


sys.exit(main())
