"""Every figure beside its peer in one run: how many times quicker, and whether that has fallen by a third since it was written down.

PYTHONPATH=src:benchmarks python benchmarks/run.py            all, as large as they are meant
PYTHONPATH=src:benchmarks python benchmarks/run.py short      in a few seconds, as the tests run it; the office suite is left out
"""

import csv
import sys
from collections.abc import Iterator
from pathlib import Path

import items
import office
import scale
import workbooks

import flow
from softseat.maker.package import load
from softseat.selection.decide import decide

RECORDED = Path(__file__).with_name("ratios.csv")
FALLEN = 2 / 3  # of what was written down: a fall by a third
SIZED = ("liquid-kv", "gas-kv", "liquid-noise", "gas-noise")
Measured = tuple[str, float, float]  # name, ours, the peer's: both in rows a second


def recorded(short: bool) -> dict[str, float]:
    """Name -> ratio as it was written down; the short form has figures of its own, for few rows lessen every ratio."""
    with RECORDED.open(encoding="utf-8", newline="") as file:
        return {row["name"]: float(row["short" if short else "full"]) for row in csv.DictReader(file) if row["short" if short else "full"]}


def sizing(short: bool) -> Iterator[Measured]:
    """Against the open library fluids, row by row with full output."""
    rows, looped = (20_000, 200) if short else (100_000, flow.LOOPED)
    ours, theirs = flow.ours(flow.rows(rows)), flow.theirs(flow.rows(looped))
    for name in SIZED:
        yield name, flow.rate(ours[name], rows, 3 if short else 5), flow.rate(theirs[name], looped, 3)


def deciding(short: bool) -> Iterator[Measured]:
    """Against our own functions, item by item."""
    rows, looped = (1_000, 5) if short else (10_000, 50)
    maker, sheet = load(None), items.sheet(rows)
    decide(items.sheet(100), maker, thorough=False)
    seconds = min(scale.taken(lambda: decide(sheet, maker, thorough=False))[1] for _ in range(2))
    yield "decide", rows / seconds, scale.loop(sheet, maker, looped)


def tables(short: bool) -> Iterator[Measured]:
    """Against openpyxl."""
    rows = 400 if short else 10_000
    for what, (mine, peer) in workbooks.compared(rows).items():
        yield f"workbook {what.split()[0]}", rows / mine, rows / peer


def suite(short: bool) -> Iterator[Measured]:
    """Against the office suite, where it is installed."""
    if not short and office.program():
        yield "sizing sheet", *office.compared(50_000)


def measured(short: bool) -> Iterator[Measured]:
    for part in (sizing, deciding, tables, suite):
        yield from part(short)


def main() -> None:
    short = "short" in sys.argv[1:]
    before, fallen = recorded(short), []
    print(f"{'':20}{'rows/s':>14}{'peer':>14}{'times':>9}{'recorded':>10}")
    for name, mine, peer in measured(short):
        told = before.get(name)
        print(f"{name:20}{mine:14,.0f}{peer:14,.0f}{mine / peer:9.1f}{told or float('nan'):10.1f}")
        if told and mine / peer < FALLEN * told:
            fallen.append(name)
    if fallen:
        sys.exit(f"fallen by a third or more: {', '.join(fallen)}")


if __name__ == "__main__":
    main()
