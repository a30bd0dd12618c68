"""Re-does the sums of a record with Python's decimal module, to the cent. Rounding is half up, as the record says."""

import json
import sys
from decimal import ROUND_HALF_UP, Decimal, getcontext

getcontext().prec = 60
CENT = Decimal("0.01")

record = json.load(open(sys.argv[1], encoding="utf-8"))
wrong = []
checked = workings = 0
goods = Decimal(0)


def rounded(amount, decimals):
    return amount.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP)


for what in [line for entry in record["sets"] for line in entry["lines"]] + record["added"]:
    if "extended" not in what:
        continue
    count = Decimal(str(what.get("count", what.get("quantity"))))
    unit, extended = Decimal(what["unit_price"]), Decimal(what["extended"])
    if count * unit != extended:
        wrong.append(f"{what.get('text', what.get('why'))}: {count} x {unit} is not {extended}")
    goods += extended
    checked += 1
    working = what.get("working")
    if not working:
        continue
    workings += 1
    factor = Decimal(1)
    for step in working["chain"]:
        factor *= (100 - Decimal(str(step))) / 100
    decimals = int(working.get("decimals", 2))
    net = Decimal(working["list"]) * factor + Decimal(working["net_adders"])
    for surcharge in working.get("surcharges", []):
        net += Decimal(surcharge["amount"] if isinstance(surcharge, dict) else surcharge[2])
    if rounded(net, decimals) != Decimal(working["net"]):
        wrong.append(f"{what.get('text')}: net {net} is not {working['net']}")
    rate = Decimal(str(working["rate"]))
    margin = working.get("is_margin", working.get("method") == "margin")
    sell = Decimal(working["net"]) / (1 - rate) if margin else Decimal(working["net"]) * (1 + rate)
    if rounded(sell, decimals) != Decimal(working["sell"]):
        wrong.append(f"{what.get('text')}: sell {sell} is not {working['sell']}")

totals = {name: Decimal(value) for name, value in record["totals"].items()}
if goods != totals["goods"]:
    wrong.append(f"goods: {goods} is not {totals['goods']}")
parts = sum(totals.get(name, Decimal(0)) for name in ["goods", "rounding", "freight", "bond", "allowances", "tax", "round_up"])
if parts != totals["total"]:
    wrong.append(f"total: {parts} is not {totals['total']}")
if not totals["exposure_low"] <= totals["total"] <= totals["exposure_high"]:
    wrong.append("exposure: the total is not between low and high")
if checked == 0 or workings == 0:
    wrong.append(f"nothing was checked: {checked} lines, {workings} workings")

print("\n".join(wrong) or f"{checked} extensions, {workings} workings and the totals agree")
sys.exit(bool(wrong))
