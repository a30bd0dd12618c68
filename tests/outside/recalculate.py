"""Has LibreOffice recalculate the estimate with the cached values thrown away, and compares with them and the record."""

import json
import pathlib
import shutil
import subprocess
import sys
import zipfile

import openpyxl

quote, work = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
estimate = next(quote.glob("*.estimate.xlsx"))
record = json.load(open(next(quote.glob("*.record.json")), encoding="utf-8"))


def recalculated(source, name):
    """The values of a copy saved by LibreOffice. openpyxl drops cached values when it saves, so all must be computed."""
    bare = work / f"{name}.xlsx"
    book = openpyxl.load_workbook(source)
    return bare, book


def convert(path):
    target = work / "recalculated"
    shutil.rmtree(target, ignore_errors=True)
    profile = work / "profile"
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", "xlsx", "--outdir", target, path],
        check=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        timeout=300,
    )
    return openpyxl.load_workbook(target / path.name, data_only=True)


def total(book):
    page = book.worksheets[0]
    for row in page.iter_rows(min_col=1, max_col=2):
        if row[0].value == "Total":
            return row[1].value
    raise SystemExit("no total on the first page")


wrong = []
bare, book = recalculated(estimate, "bare")
book.save(bare)
fresh = convert(bare)
cached = openpyxl.load_workbook(estimate, data_only=True)
formulas = openpyxl.load_workbook(estimate)
compared = 0
for page in formulas.worksheets:
    for row in page.iter_rows():
        for cell in row:
            if isinstance(cell.value, str) and cell.data_type == "f":
                old, new = cached[page.title][cell.coordinate].value, fresh[page.title][cell.coordinate].value
                compared += 1
                same = old == new if isinstance(old, str) else new is not None and abs(float(old) - float(new)) < 0.005
                if not same:
                    wrong.append(f"{page.title} {cell.coordinate}: cached {old}, recalculated {new} ({cell.value})")
if compared < 100:
    wrong.append(f"only {compared} formulas were compared")
if abs(float(record["totals"]["total"]) - float(total(fresh))) >= 0.005:
    wrong.append(f"the total is {total(fresh)}, the record says {record['totals']['total']}")

# A quantity and the first rate changed: the total must follow by exactly what the change is worth.
goods = book.worksheets[1]
for row in goods.iter_rows(min_row=5):
    if row[0].value == "line" and isinstance(row[6].value, (int, float)) and row[8].value:
        sell = cached[goods.title][row[13].coordinate].value
        row[6].value += 10
        break
book.save(work / "more.xlsx")
after = convert(work / "more.xlsx")
freight = [r[1].value for r in cached.worksheets[0].iter_rows(min_col=1, max_col=2) if str(r[0].value).startswith("Freight")]
difference = float(total(after)) - float(total(fresh))
if not 10 * float(sell) - 0.01 <= difference <= 10 * float(sell) * 1.25:
    wrong.append(f"ten more of a good at {sell} moved the total by {difference}")

# Every workbook opens without repair: the parts named in its content types are all there.
for path in quote.glob("*.xlsx"):
    with zipfile.ZipFile(path) as archive:
        if archive.testzip():
            wrong.append(f"{path.name} is damaged")
    openpyxl.load_workbook(path)

print("\n".join(wrong[:20]) or f"{compared} formulas agree with their cached values; a changed quantity moves the total")
sys.exit(bool(wrong))
