"""Unzips the proposal and looks for anything that tells cost: words, defined names, hidden sheets, notes, net figures."""

import json
import pathlib
import re
import sys
import zipfile

quote = pathlib.Path(sys.argv[1])
record = json.load(open(next(quote.glob("*.record.json")), encoding="utf-8"))
wrong = []
with zipfile.ZipFile(next(quote.glob("*.proposal.xlsx"))) as archive:
    texts = {name: archive.read(name).decode("utf-8", "replace") for name in archive.namelist()}
for name, text in texts.items():
    if "comment" in name:
        wrong.append(f"{name}: notes")
    for word in ["margin", "markup", "multiplier", "net cost", "discount", "list price"]:
        if re.search(rf">[^<]*\b{word}\b", text, re.IGNORECASE):
            wrong.append(f"{name}: says {word}")
workbook = texts["xl/workbook.xml"]
if 'state="hidden"' in workbook or "veryHidden" in workbook:
    wrong.append("a hidden sheet")
cost = str(record["totals"].get("cost", ""))
if cost and any(f">{cost}<" in text or f">{cost.rstrip('0')}<" in text for text in texts.values()):
    wrong.append("the cost of the goods stands in it")
print("\n".join(wrong) or f"{len(texts)} parts searched, nothing found")
sys.exit(bool(wrong))
