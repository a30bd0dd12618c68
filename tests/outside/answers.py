"""Answers typed into the estimate come back, also through LibreOffice, and what the workbook shows is what the tool reckons.

usage: answers.py PINTLE FOLDER SCHEDULE ...

1. An estimate is written; figures are typed over in priced lines and among the rates (openpyxl plays the person).
2. LibreOffice opens it, recalculates and saves it as xlsx and as ods; its total is the total that the next run reckons.
3. The next run takes up the same from all three files, and questions answered are asked no more.
4. The estimate of that run, given back untouched, gives the same record again: nothing is lost on the way.
5. The architect's own list, answered there and saved again by LibreOffice as xlsx and as ods, gives the same: what is
   offered is applied, an answer in words is left to a person, one that is not offered is refused with the choices.
6. A cell that cannot be an answer is refused with its place, and nothing is written; an answer that is not offered leaves
   its question open and the choices are said.
"""
import json
import pathlib
import subprocess
import sys
from decimal import Decimal

import openpyxl

from recalculate import converted

problems = []


def check(holds, words):
    if not holds:
        problems.append(words)


def run(pintle, folder, files, *more, expect=(0, 1)):
    done = subprocess.run([pintle, "quote", *files, "--out", str(folder), "--force", *more], capture_output=True, text=True)
    if done.returncode not in expect:
        sys.exit(f"quote ended with {done.returncode}: {done.stderr}")
    if done.returncode > 1:
        return None, done.stderr
    record = next(folder.glob("*.record.json"))
    return json.loads(record.read_text(encoding="utf-8")), done.stderr


def estimate(folder):
    return next(folder.glob("*.estimate.xlsx"))


def table(sheet, heading):
    """The row of the headings and the column of each."""
    for row in sheet.iter_rows(min_row=1, max_row=40):
        if any(cell.value == heading for cell in row):
            return row[0].row, {cell.value: cell.column for cell in row if cell.value}
    sys.exit(f"{sheet.title}: no heading {heading}")


def typed(book):
    """Types over figures; gives what was typed by the line's words."""
    sheet = book["Priced goods"]
    head, at = table(sheet, "Your price")
    rows = [row for row in range(head + 1, sheet.max_row + 1) if sheet.cell(row, at["Line"]).value]
    value = lambda row, name: sheet.cell(row, at[name]).value
    lines = [row for row in rows if value(row, "Kind") == "line" and value(row, "List") is not None]
    told = {}

    def put(row, name, what):
        sheet.cell(row, at[name]).value = what
        told[name] = (value(row, "Set"), value(row, "Line"), what)

    put(lines[1], "Your price", 123.45)
    put(lines[2], "Your quantity", value(lines[2], "Quantity before") + 2 if value(lines[2], "Quantity before") else 7)
    put(lines[3], "Leave out", "x")
    put(lines[0], "Each", value(lines[0], "Each before") + 1)
    for row in (lines[1], lines[2]):
        sheet.cell(row, at["By"]).value = "R. Quill"
        sheet.cell(row, at["On"]).value = "2026-11-26"
    without = [row for row in rows if value(row, "Kind") == "line" and value(row, "Status") == "unpriced"]
    if without:
        put(without[0], "Your price", 77)
    bid = book["The bid"]
    rate = next(row for row in range(1, bid.max_row + 1) if str(bid.cell(row, 1).value).startswith("margin "))
    bid.cell(rate, 2).value = 0.31
    head = next(row for row in range(1, bid.max_row + 1) if bid.cell(row, 2).value == "Rate or sum")
    by = {bid.cell(head, column).value: column for column in range(1, 12)}
    bid.cell(rate, by["By"]).value = "R. Quill"
    bid.cell(rate, by["On"]).value = "2026-11-26"
    return told


def answered(book):
    """Picks the last answer of the first two questions that offer several; gives their ids."""
    sheet = book["Questions"]
    head, at = table(sheet, "Your answer")
    offered = {}
    for row in book["Answers offered"].iter_rows(min_row=5, values_only=True):
        offered.setdefault(row[0], []).append(row[1])
    picked = {}
    for row in range(head + 1, sheet.max_row + 1):
        identity = sheet.cell(row, at["Question"]).value
        choices = offered.get(identity, [])
        if len(choices) > 1 and len(picked) < 3:
            sheet.cell(row, at["Your answer"]).value = choices[-1]
            sheet.cell(row, at["By"]).value = "Studio Ellerby"
            picked[identity] = choices[-1]
            if len(picked) == 3:
                sheet.cell(row, at["Applies to"]).value = "whole job"
    return picked


def total(path):
    book = openpyxl.load_workbook(path, data_only=True)
    bid = book["The bid"]
    row = next(row for row in range(1, bid.max_row + 1) if str(bid.cell(row, 1).value).startswith("Total"))
    return Decimal(str(round(bid.cell(row, 2).value, 2))).quantize(Decimal("0.01"))


def same(one, other, words):
    for key in ("totals", "answers", "typed_over", "question_numbers", "charges", "sets", "added", "findings"):
        if one[key] != other[key]:
            problems.append(f"{words}: {key} differs")


def figures(pintle, work, files, first):
    """Steps 1 and 2: only figures are typed over, so that the workbook itself can show what they come to."""
    book = openpyxl.load_workbook(estimate(first))
    typed(book)
    filled = work / "figures.xlsx"
    book.save(filled)
    back, _ = run(pintle, work / "figures-back", files, "--answers", str(filled))
    live = converted(filled, work / "figures-live", "xlsx")
    check(total(live) == Decimal(back["totals"]["total"]),
          f"typed over: LibreOffice shows {total(live)}, the next run {back['totals']['total']}")
    check(len(back["typed_over"]) >= 5, f"only {len(back['typed_over'])} figures came back")
    check(any(one["by"] == "R. Quill" for one in back["typed_over"]), "who typed is not kept")
    rates = [one for one in back["typed_over"] if one["what"] == "rate"]
    check(rates and all((one["by"], one["on"]) == ("R. Quill", "2026-11-26") for one in rates),
          f"who typed a rate over is not kept: {rates}")


def architect(pintle, work, files, first):
    """Step 5."""
    book = openpyxl.load_workbook(next(first.glob("*.questions.xlsx")))
    sheet = book["Questions"]
    head, at = table(sheet, "Your answer")
    asked = [row for row in range(head + 1, sheet.max_row + 1) if sheet.cell(row, at["Question"]).value]
    words = lambda row, name: sheet.cell(row, at[name]).value or ""
    several = [row for row in asked if len(words(row, "Answers proposed").split("\n")) > 1]
    free = [row for row in asked if not words(row, "Answers proposed")]
    check(len(several) > 1 and free, "the architect is asked too little for this check")
    refused, picked, free = several[0], several[1:3], free[0]
    for row in picked:
        sheet.cell(row, at["Your answer"]).value = words(row, "Answers proposed").split("\n")[-1]
        sheet.cell(row, at["By"]).value = "Studio Ellerby"
    sheet.cell(free, at["Your answer"]).value = "see our letter of Monday"
    sheet.cell(refused, at["Your answer"]).value = "whatever is usual"
    filled = work / "asked.xlsx"
    book.save(filled)
    records = []
    for name, path in (("openpyxl", filled), ("xlsx", converted(filled, work / "asked-office", "xlsx")),
                       ("ods", converted(filled, work / "asked-office", "ods"))):
        record, said = run(pintle, work / f"asked-{name}", files, "--answers", str(path))
        records.append(record)
        check("whatever is usual" in said and "answer with one of" in said, f"{name}: what is not offered is not refused: {said}")
        check("for you to carry out" in said and "see our letter" in said, f"{name}: the answer in words is not said: {said}")
        kinds = {finding["id"]: finding["kind"] for finding in record["findings"]}
        for row in picked:
            check(kinds.get(words(row, "Question")) == "note", f"{name}: {words(row, 'Question')} was answered and is {kinds.get(words(row, 'Question'))}")
        check(kinds.get(words(refused, "Question")) == "question", f"{name}: a refused answer closed its question")
    for record in records[1:]:
        same(records[0], record, "the architect's list")
    # Given after the estimate, the list adds to it.
    both, _ = run(pintle, work / "asked-both", files, "--answers", str(work / "figures.xlsx"), "--answers", str(filled))
    check(len(both["typed_over"]) >= 5 and len(both["answers"]) >= 3, "the list took the place of what the estimate tells")


def main(pintle, folder, *files):
    work = pathlib.Path(folder)
    work.mkdir(parents=True, exist_ok=True)
    first = work / "first"
    before, _ = run(pintle, first, files)
    figures(pintle, work, files, first)
    architect(pintle, work, files, first)

    book = openpyxl.load_workbook(estimate(first))
    typed(book)
    picked = answered(book)
    filled = work / "filled.xlsx"
    book.save(filled)
    records = {}
    for name, path in (("openpyxl", filled), ("xlsx", converted(filled, work / "office", "xlsx")),
                       ("ods", converted(filled, work / "office", "ods"))):
        records[name], _ = run(pintle, work / f"back-{name}", files, "--answers", str(path))
    for name in ("xlsx", "ods"):
        same(records["openpyxl"], records[name], f"through LibreOffice as {name}")
    after = records["openpyxl"]
    kinds = {finding["id"]: finding["kind"] for finding in after["findings"]}
    for identity, words in picked.items():
        check(kinds.get(identity) != "question", f"{identity} was answered \"{words}\" and is still asked")
        check(after["answers"].get(identity, {}).get("by") == "Studio Ellerby", f"{identity}: who answered is not kept")
    check(after["totals"]["total"] != before["totals"]["total"], "nothing changed")

    again, _ = run(pintle, work / "again", files, "--answers", str(estimate(work / "back-openpyxl")))
    same(after, again, "given back untouched")
    through = converted(estimate(work / "back-openpyxl"), work / "office-again", "ods")
    again, _ = run(pintle, work / "again-ods", files, "--answers", str(through))
    same(after, again, "given back untouched, as ods")
    from_record, _ = run(pintle, work / "from-record", files, "--answers", str(next((work / "back-openpyxl").glob("*.json"))))
    same(after, from_record, "given back as a record")

    refused(pintle, work, files, first)
    for problem in problems[:40]:
        print("  wrong:", problem)
    print(f"answers: {len(after['typed_over'])} figures and {len(picked)} answers came back through three formats, "
          f"total {before['totals']['total']} to {after['totals']['total']}")
    return 1 if problems else 0


def refused(pintle, work, files, first):
    book = openpyxl.load_workbook(estimate(first))
    sheet = book["Priced goods"]
    head, at = table(sheet, "Your price")
    row = next(row for row in range(head + 1, sheet.max_row + 1) if sheet.cell(row, at["Line"]).value)
    sheet.cell(row, at["Your price"]).value = "about ten"
    wrong = work / "wrong.xlsx"
    book.save(wrong)
    where = sheet.cell(row, at["Your price"]).coordinate
    _, said = run(pintle, work / "wrong", files, "--answers", str(wrong), expect=(2,))
    check(f"Priced goods!{where}" in said and "about ten" in said, f"the refusal names no place: {said}")
    check(not list((work / "wrong").glob("*.json")), "something was written for a wrong cell")

    book = openpyxl.load_workbook(estimate(first))
    sheet = book["Questions"]
    head, at = table(sheet, "Your answer")
    asked = [row for row in range(head + 1, sheet.max_row + 1) if sheet.cell(row, at["Answers (difference)"]).value]
    if not asked:
        return
    identity = sheet.cell(asked[0], at["Question"]).value
    sheet.cell(asked[0], at["Your answer"]).value = "whatever is cheapest"
    book.save(wrong)
    record, said = run(pintle, work / "refused", files, "--answers", str(wrong))
    kinds = {finding["id"]: finding["kind"] for finding in record["findings"]}
    check(kinds.get(identity) == "question", f"{identity}: an answer that is not offered closed the question")
    check("whatever is cheapest" in said, f"the refused answer is not said: {said}")


sys.exit(main(*sys.argv[1:]))
