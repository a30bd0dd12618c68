"""Does the arithmetic of a record again with Python's decimal module, which shares no code with the program.

Rules: net = round(list x product of (1 - discount) + net adders + surcharges), sell = round(net / (1 - margin)) or
round(net x (1 + markup)), half up; extensions exact; freight and tax once on their sums (common practice of the trade).
"""
import json
import re
import sys
from decimal import ROUND_HALF_UP, Decimal, getcontext

getcontext().prec = 50
problems = []
checked = 0


def money(text):
    return Decimal(text)


def cents(exact, places=2):
    return exact.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)


def same(what, found, wanted):
    global checked
    checked += 1
    if found != wanted:
        problems.append(f"{what}: the record says {found}, by hand it is {wanted}")


def working(what, item):
    """The unit price of a line or addition."""
    work = item["working"]
    # The base of the unit counted: "per foot × 84 in / 12", "per pair / 2"; nothing where they are the same.
    base = money(work["base"])
    for sign, number in re.findall(r"([×/]) ([0-9.]+)", work["unit"]):
        base = base * Decimal(number) if sign == "×" else base / Decimal(number)
    if work["made_of"]:
        parts = sum(money(part["each"]) * part["count"] for part in work["made_of"])
        same(f"{what}: base, from its parts", money(work["base"]), parts)
    at_list = base + sum(money(extra["money"]) for extra in work["adders"] if not extra["net"])
    same(f"{what}: list", round(money(work["list"]), 9), round(at_list, 9))
    at_net = sum((money(extra["money"]) for extra in work["adders"] if extra["net"]), Decimal(0))
    same(f"{what}: net adders", money(work["net_adders"]), at_net)
    product = Decimal(1)
    for discount in work["chain"]:
        product *= 1 - Decimal(discount) / 100
    same(f"{what}: multiplier", Decimal(work["multiplier"]), product)
    net = money(work["list"]) * product + money(work["net_adders"])
    for surcharge in work["surcharges"]:
        net += money(surcharge["money"])
    net = cents(net, work["decimals"])
    same(f"{what}: net", money(work["net"]), net)
    rate = Decimal(work["rate"])
    sell = net / (1 - rate) if work["method"] == "margin" else net * (1 + rate)
    same(f"{what}: sell", money(work["sell"]), cents(sell, work["decimals"]))
    same(f"{what}: unit price", money(item["unit_price"]), money(work["sell"]))


def main(path):
    with open(path, encoding="utf-8") as file:
        record = json.load(file)
    goods = Decimal(0)
    rounding = Decimal(0)
    items = [
        (f"set {group['id']}, row {line['origin']['row']}", line, line.get("count"))
        for group in record["sets"]
        for line in group["lines"]
    ] + [(f"added by {added['rule']}", added, added["quantity"]) for added in record["added"]]
    priced = 0
    for what, item, count in items:
        if "extended" not in item:
            continue
        priced += 1
        working(what, item)
        extended = Decimal(count) * money(item["unit_price"])
        same(f"{what}: extension", money(item["extended"]), extended)
        goods += extended
        rounding += cents(extended) - extended
    totals = {name: money(sum_) for name, sum_ in record["totals"].items()}
    same("goods", totals["goods"], goods)
    charges = {}
    for charge in record["charges"]:
        charges[charge["kind"]] = charges.get(charge["kind"], Decimal(0)) + money(charge["amount"])
    for kind, key in [("freight", "freight"), ("tax", "tax"), ("bond", "bond"), ("allowance", "allowances")]:
        same(key, totals[key], charges.get(kind, Decimal(0)))
    same("total", totals["total"], goods + sum(charges.values(), Decimal(0)))
    same("total in cents", totals["total"], cents(totals["total"]))
    if not totals["exposure_low"] <= totals["total"] <= totals["exposure_high"]:
        problems.append(f"exposure {totals['exposure_low']} to {totals['exposure_high']} does not hold {totals['total']}")
    if not priced:
        problems.append("no line has a price")
    print(f"{path}: {priced} prices, {checked} figures done again, total {totals['total']}")
    for problem in problems[:40]:
        print("  wrong:", problem)
    return 1 if problems else 0


sys.exit(main(sys.argv[1]))
