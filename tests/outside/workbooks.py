"""Opens the two workbooks with openpyxl, has LibreOffice recalculate the estimate, and compares.

usage: workbooks.py RECORD ESTIMATE PROPOSAL FOLDER

1. openpyxl reads both files.
2. LibreOffice, told to recalculate on load, gives the value that was cached for every formula, to the cent.
3. The total of the record stands in the recalculated estimate.
4. No cost, discount, rate or working of the record stands in any part of the proposal's package.
"""
import json
import pathlib
import re
import sys
import zipfile
from decimal import Decimal

import openpyxl

from recalculate import converted


def close(one, other):
    if isinstance(one, (int, float)) and isinstance(other, (int, float)):
        return abs(Decimal(repr(one)) - Decimal(repr(other))) < Decimal("0.005")
    return (one or "") == (other or "")


def main(record_path, estimate, proposal, folder):
    problems = []
    record = json.loads(pathlib.Path(record_path).read_text(encoding="utf-8"))
    formulas = openpyxl.load_workbook(estimate)
    cached = openpyxl.load_workbook(estimate, data_only=True)
    letter = openpyxl.load_workbook(proposal, data_only=True)
    fresh = openpyxl.load_workbook(converted(estimate, folder, "xlsx"), data_only=True)
    count = 0
    for sheet in formulas:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type != "f":
                    continue
                count += 1
                before, after = cached[sheet.title][cell.coordinate].value, fresh[sheet.title][cell.coordinate].value
                if not close(before, after):
                    problems.append(f"{sheet.title}!{cell.coordinate}: cached {before!r}, recalculated {after!r}")
    unused = []
    if not count:
        problems.append("the estimate has no live formula")

    names = formulas.defined_names
    if not any("margin" in name or "markup" in name for name in names) or "bid_total" not in names:
        problems.append(f"rates and total have no names of their own: {sorted(names)}")
    whole = "\n".join(cell.value for sheet in formulas for row in sheet.iter_rows() for cell in row
                      if cell.data_type == "f" and isinstance(cell.value, str))
    for name in (name for name in names if not name.endswith("_total")):
        if not re.search(rf"\b{re.escape(name)}\b", whole):
            unused.append(name)
    for word in ("NOW", "TODAY", "RAND", "RANDBETWEEN", "OFFSET", "INDIRECT", "CELL", "INFO"):
        if re.search(rf"\b{word}\(", whole):
            problems.append(f"a formula calls {word}, which changes without being changed")

    for path in sorted(pathlib.Path(estimate).parent.glob("*.xlsx")):
        book = openpyxl.load_workbook(path)
        if not book.properties.title or not book.properties.created:
            problems.append(f"{path.name}: no title or no date among its properties")
        for sheet in book:
            if not sheet.oddFooter.right.text or not sheet.print_area:
                problems.append(f"{path.name}: {sheet.title} has no page number or no print area")
            for row in sheet.iter_rows():
                for cell in row:
                    if cell.data_type == "f" and path.name.endswith((".questions.xlsx", ".preps.xlsx")):
                        problems.append(f"{path.name}: {sheet.title}!{cell.coordinate} is a formula")
                    if cell.data_type == "e":
                        problems.append(f"{path.name}: {sheet.title}!{cell.coordinate} is an error")

    total = float(record["totals"]["total"])
    numbers = {round(cell.value, 2) for sheet in fresh for row in sheet.iter_rows() for cell in row
               if isinstance(cell.value, (int, float)) and not isinstance(cell.value, bool)}
    if total not in numbers:
        problems.append(f"the total {total} does not stand in the recalculated estimate")
    priced = [cell for sheet in letter for row in sheet.iter_rows() for cell in row
              if isinstance(cell.value, (int, float)) and round(cell.value, 2) == total]
    if not priced:
        problems.append(f"the total {total} does not stand in the proposal")

    items = [line for group in record["sets"] for line in group["lines"]] + record["added"]
    shown = {Decimal(item[key]) for item in items for key in ("unit_price", "extended") if key in item}
    secret = {Decimal(item["working"][key]) for item in items if "working" in item for key in ("net", "list")}
    secret.add(Decimal(record["totals"]["cost"]))
    # Nothing is no secret: a surcharge has no list price, and number formats such as #,##0.00 spell it.
    secret.discard(Decimal(0))
    with zipfile.ZipFile(proposal) as package:
        text = "\n".join(package.read(name).decode("utf-8", "replace") for name in package.namelist())
    found = {Decimal(number) for number in re.findall(r"(?<![\d.])\d+\.\d{2}(?![\d.])", text)}
    # A net that happens to equal a selling price of another line is not a leak.
    for leak in sorted(found & (secret - shown)):
        problems.append(f"the proposal holds {leak}, which is a cost or list price")
    for word in ("margin", "multiplier", "markup", "discount", "net cost"):
        if re.search(word, re.sub(r"<(pageMargins|Margin)[^>]*>|pageMargins|topMargin|leftMargin", "", text), re.IGNORECASE):
            problems.append(f"the proposal holds the word {word}")
    hidden = [sheet.title for sheet in letter if sheet.sheet_state != "visible"]
    if hidden:
        problems.append(f"the proposal has hidden sheets: {hidden}")

    if unused:
        problems.append(f"rates and sums that change nothing, for no formula uses them: {unused}")
    print(f"{estimate}: {count} formulas recalculated, total {total}")
    for problem in problems[:40]:
        print("  wrong:", problem)
    return 1 if problems else 0


sys.exit(main(*sys.argv[1:5]))
