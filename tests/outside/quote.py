"""Quotes: ours against sums in Python's decimal arithmetic, half a cent up line by line, from the same list."""

import json
import sys
import tomllib
from decimal import ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")


def cents(amount):
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


data = json.load(open(sys.argv[1]))
prices = tomllib.loads(data["list"])
material = {it["item"]: Decimal(it["price"]) for it in prices["material"]}
hour = {it["name"]: Decimal(it["hour"]) for it in prices["trade"]}
task = {it["task"]: (hour[it["trade"]], Decimal(it["hours"])) for it in prices["task"]}
fee = {it["fee"]: Decimal(it["amount"]) for it in prices["fee"]}
rate = Decimal(prices["sales_tax"].rstrip(" %")) / 100

wrong, totals = [], 0
for case in data["cases"]:
    lacks = [name for name, _ in case["items"] if name not in material]
    lacks += [name for name, _ in case["tasks"] if name not in task]
    lacks += [name for name in case["fees"] if name not in fee]
    bought = sum((cents(material[n] * Decimal(c)) for n, c in case["items"] if n in material), Decimal())
    labor = sum(
        (cents(task[n][0] * (task[n][1] * Decimal(c))) for n, c in case["tasks"] if n in task), Decimal()
    )
    fees = sum((cents(fee[n]) for n in case["fees"] if n in fee), Decimal())
    tax = cents(bought * rate)
    want = {"materials": bought, "tax": tax, "labor": labor}
    if case["total"] is not None:
        totals += 1
        want["total"] = bought + tax + labor + fees
    for name, amount in want.items():
        if Decimal(case[name]) != amount:
            wrong.append((name, case[name], str(amount)))
    if sorted(lacks) != sorted(case["no_price"]):
        wrong.append(("no price", case["no_price"], lacks))
    if lacks and case["total"] is not None:
        wrong.append(("a total without a price", case["total"], lacks))
if wrong or totals < 10:
    sys.exit(f"{len(wrong)} amounts differ, {totals} totals; the first: {wrong[:3]}")
print(f"quotes: {len(data['cases'])} bills, {totals} with a total, equal to the cent")
