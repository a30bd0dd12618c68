"""Voltage drops that a record states, computed anew by a general library of physical units.

Nothing here comes from the program's tables: the diameter of a gauge is that of ASTM B258, the resistivity of annealed
copper that of IEC 60028 (1/58 ohm mm2/m at 20 degrees C), and `pint` keeps the units. The figures compared are those in
the words of the findings of the rule transfer-limits, and those worked by hand in a device maker's guide.
"""
import json
import re
import sys

import pint

unit = pint.UnitRegistry()
COPPER = unit.Quantity(1, "ohm mm^2 / m") / 58
SAYS = re.compile(
    r"(?P<volts>\d+) V: (?P<hold>[\d.]+) A held, (?P<start>[\d.]+) A at the start.*?"
    r"hinge and leaf 2 x (?P<near_feet>[\d.]+) ft x (?P<near_amps>[\d.]+) A x (?P<near_ohms>[\d.]+) ohm / 1000 ft "
    r"\((?P<near_gauge>\d+) AWG\) = (?P<near>[\d.]+) V, "
    r"feeder 2 x (?P<far_feet>[\d.]+) ft x (?P<far_amps>[\d.]+) A x (?P<far_ohms>[\d.]+) ohm / 1000 ft "
    r"\((?P<far_gauge>\d+) AWG\) = (?P<far>[\d.]+) V; together (?P<both>[\d.]+) V, and (?P<allowed>[\d.]+) V may be lost"
)
problems = []


def drop(feet, gauge, amps):
    """Out and back, so twice the length."""
    diameter = unit.Quantity(0.005 * 92 ** ((36 - gauge) / 39), "inch")
    resistance = COPPER * 2 * unit.Quantity(feet, "foot") / (3.141592653589793 * diameter**2 / 4)
    return (resistance * unit.Quantity(amps, "ampere")).to("volt").magnitude


def compare(what, wanted, said):
    # The tables round to four figures; the findings to a hundredth of a volt.
    if abs(wanted - said) > 0.003 * wanted + 0.006:
        problems.append(f"{what}: {said} V is said, {wanted:.3f} V come out")


# Worked figures: 3 ft of hinge and leaf wiring at 16 A, and 150 ft of 18 AWG at 0.3 A.
for feet, gauge, amps, volts in [(3, 18, 16, 0.61), (3, 24, 16, 2.46), (3, 26, 16, 3.92), (3, 28, 16, 6.23), (150, 18, 0.3, 0.57)]:
    compare(f"{feet} ft of {gauge} AWG at {amps} A", drop(feet, gauge, amps), volts)

with open(sys.argv[1], encoding="utf-8") as file:
    findings = json.load(file)["findings"]
checked = 0
for finding in findings:
    if finding["rule"] != "transfer-limits":
        continue
    said = SAYS.search(finding["says"])
    if not said:
        problems.append(f"a sum that cannot be read: {finding['says']}")
        continue
    sums = {name: float(text) for name, text in said.groupdict().items()}
    for part, name in (("near", "hinge and leaf"), ("far", "feeder")):
        feet, gauge, amps = sums[f"{part}_feet"], int(sums[f"{part}_gauge"]), sums[f"{part}_amps"]
        compare(f"{name}, amperes", sums["start"], amps)
        # Twice 500 ft lose at one ampere what 1000 ft of wire have in ohms.
        compare(f"{name}, ohms of 1000 ft", drop(500, gauge, 1), sums[f"{part}_ohms"])
        compare(name, drop(feet, gauge, amps), sums[part])
    compare("both together", sums["near"] + sums["far"], sums["both"])
    compare("a tenth of the voltage", sums["volts"] / 10, sums["allowed"])
    checked += 1
if len(sys.argv) > 2 and checked < int(sys.argv[2]):
    problems.append(f"only {checked} sums where {sys.argv[2]} were to be checked")

print(f"wires: {checked} sums of the record, 5 worked figures")
for problem in problems:
    print("  wrong:", problem)
sys.exit(1 if problems else 0)
