"""Facts of the trade computed anew from their published rule, compared with the tables of the program.

Copper wire: ASTM B258 gives the diameter of a gauge, 10.371 ohm-cmil/ft the resistivity of copper at 20 degrees C.
Discount chains: 50/10/5 leaves 0.4275 of the list, 40/15/15 leaves 0.4335 (common practice, plain arithmetic).
"""
import csv
import pathlib
import sys
from decimal import Decimal

TRADE = pathlib.Path(__file__).resolve().parents[2] / "catalogs" / "trade"
problems = []


def table(name):
    with open(TRADE / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def at_least(count, rows):
    if len(rows) < count:
        problems.append(f"only {len(rows)} rows where {count} were to be checked")
    return len(rows)


def wire_resistances():
    """Diameter in mils: 5 x 92^((36 - gauge) / 39)."""
    rows = table("wire.csv")
    for row in rows:
        mils = 5 * 92 ** ((36 - int(row["gauge"])) / 39)
        wanted = 10.371 / mils**2 * 1000
        if abs(float(row["ohms_per_1000_feet"]) - wanted) / wanted > 0.005:
            problems.append(f"{row['gauge']} AWG: the table says {row['ohms_per_1000_feet']}, by formula {wanted:.3f}")
    return f"{at_least(9, rows)} wire gauges"


def hinge_counts():
    """NFPA 80 6.4.3, UFC 3-190-02FA 7.e: two hinges up to 60 in, one more for each further 30 in or part of it."""
    rows = table("hinge_count.csv")
    for row in rows:
        height = int(row["up_to"])
        wanted = 2 if height <= 60 else 2 + -(-(height - 60) // 30)
        if int(row["count"]) != wanted:
            problems.append(f"up to {height} in: the table says {row['count']} hinges, by rule {wanted}")
    return f"{at_least(3, rows)} hinge counts"


def hinge_gauges():
    """Leaf thickness (A156.1 as reported): 4-1/2 standard .134, heavy .180; 5 heavy .190."""
    rows = {Decimal(row["height"]): row for row in table("hinge_gauge.csv")}
    for height, weight, wanted in [("4.5", "standard", ".134"), ("4.5", "heavy", ".180"), ("5", "heavy", ".190")]:
        found = rows[Decimal(height)][weight]
        if Decimal(found) != Decimal(wanted):
            problems.append(f"hinge {height} {weight}: the table says {found}, the sources {wanted}")
    return "3 hinge gauges"


def hinge_sizes():
    """DHI table as two trade guides reproduce it: thickness and width of the leaf, height of the hinge."""
    rows = table("hinge_size.csv")

    def height(thick, width):
        for row in rows:
            if thick <= Decimal(row["thickness_to"]) and (not row["width_to"] or width <= Decimal(row["width_to"])):
                return row["height"]
        return None

    published = [("1.375", 32, "3.5"), ("1.375", 36, "4"), ("1.75", 30, "4.5"), ("1.75", 36, "4.5"), ("1.75", 37, "5"),
                 ("1.75", 48, "5"), ("1.75", 49, "6"), ("2.25", 42, "5"), ("2.25", 44, "6")]
    for thick, width, wanted in published:
        found = height(Decimal(thick), width)
        if found != wanted:
            problems.append(f"leaf {thick} thick, {width} wide: hinge {found}, by the published table {wanted}")
    return f"{len(published)} hinge sizes"


def counts_by_height():
    """NFPA 80 6.4.3 again, height by height, through the rule of steps rather than the table's rows."""
    rows = [(int(row["up_to"]), int(row["count"])) for row in table("hinge_count.csv")]
    for height in range(40, rows[-1][0] + 1):
        wanted = 2 if height <= 60 else 2 + -(-(height - 60) // 30)
        found = next(count for up_to, count in rows if height <= up_to)
        if found != wanted:
            problems.append(f"{height} in: the table gives {found} hinges, the rule {wanted}")
    return "hinge counts from 40 in up"


def chains():
    for chain, left in [((50, 10, 5), "0.4275"), ((40, 15, 15), "0.4335")]:
        product = Decimal(1)
        for discount in chain:
            product *= 1 - Decimal(discount) / 100
        if product != Decimal(left):
            problems.append(f"{chain} leaves {product}")
    return "discount chains"


def finishes():
    """Codes of the same look on another base: satin chromium is 626 on brass, 652 on steel, 682 on zinc (A156.18)."""
    by_code = {row["code"]: row["base"] for row in table("finishes.csv")}
    wanted = {"626": "brass", "652": "steel", "630": "stainless", "605": "brass", "632": "steel", "613": "bronze",
              "640": "steel", "628": "aluminum", "682": "zinc", "600": "steel"}
    for code, base in wanted.items():
        if base not in by_code.get(code, "").split():
            problems.append(f"finish {code} is not on {base} in the table: {by_code.get(code)}")
    return f"{len(wanted)} finishes"


print("facts:", ", ".join(check() for check in (wire_resistances, hinge_counts, counts_by_height, hinge_sizes, hinge_gauges, chains, finishes)))
for problem in problems:
    print("  wrong:", problem)
sys.exit(1 if problems else 0)
