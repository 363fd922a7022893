"""What a person waits for: one item from the shell, the effects of an enquiry of 60 items, a long workbook in and out.

PYTHONPATH=src:benchmarks python benchmarks/goals.py [rows]
"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

import compiled
import items
import workbooks

from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import load
from softseat.papers.returned import returned_workbook
from softseat.papers.workbook import offer_workbook
from softseat.selection.decide import decide
from softseat.selection.explain import explain_all
from softseat.selection.weighed import with_effects

ITEM = ["item", "sea", "water", "dn300", "760", "m3/h", "6", "bar", "40C", "wafer", "lever"]
GOALS = {"help from the shell": 0.3, "one item from the shell": 0.6, "effects of 60 items": 5.0, "workbook in": 5.0, "workbook out": 5.0}


def shell(words: list[str], times: int = 5) -> float:
    """Seconds of the quickest start, with the sources compiled as an installation leaves them."""
    found = []
    with compiled.settings() as settings:
        for _ in range(1 + times):
            start = time.perf_counter()
            subprocess.run([sys.executable, "-m", "softseat.cli", *words], check=True, capture_output=True, env=settings)
            found.append(time.perf_counter() - start)
    return min(found[1:])


def seconds(work) -> float:  # type: ignore[no-untyped-def]
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def schedule(path: Path, number: int) -> Path:
    rows = [["".join(sign for sign in cell if sign.isprintable()) for cell in row] for row in [list(items.HEADS), *items.rows(number)]]
    workbooks.by_xlsxwriter(path, rows)
    return path


def measured(number: int) -> dict[str, float]:
    maker = load(None)
    found = {"help from the shell": shell(["--help"]), "one item from the shell": shell(ITEM)}
    with tempfile.TemporaryDirectory() as folder:
        sixty = read_enquiry(schedule(Path(folder) / "sixty.xlsx", 60))
        decision = decide(sixty.sheet, maker)
        explained = list(explain_all(sixty, decision, maker, steps_too=False))
        found["effects of 60 items"] = seconds(lambda: with_effects(sixty.sheet, decision, maker, explained))
        long = schedule(Path(folder) / "long.xlsx", number)
        found["workbook in"] = seconds(lambda: read_enquiry(long))
        many = (explained * -(-number // len(explained)))[:number]
        told = {"name": maker.name, "title": maker.title, "invented": "yes"}
        found["workbook out"] = seconds(lambda: offer_workbook(many, Path(folder) / "offer.xlsx", maker=told, order=None, name="long"))
        found["returned in place"] = seconds(lambda: returned_workbook(long, many, Path(folder) / "returned.xlsx"))
    return found


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    for what, taken in measured(number).items():
        print(f"{what:28}{taken:8.2f} s{'':4}{'goal ' + format(GOALS[what], '.1f') if what in GOALS else ''}")


if __name__ == "__main__":
    main()
