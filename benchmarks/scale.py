"""Does it stay linear: items of all kinds from file to verdict, by their number; the same items in a plain loop for comparison.

PYTHONPATH=src:benchmarks python benchmarks/scale.py            1e3, 1e4, 1e5
PYTHONPATH=src:benchmarks python benchmarks/scale.py 1000000    a million, from a Sheet in memory, on two processors
"""

import os
import resource
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import items
import numpy as np

from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import Maker, load
from softseat.selection.bulk import decided
from softseat.selection.decide import decide
from softseat.sheet import Sheet


def taken(work: Callable[[], object]) -> tuple[float, float]:
    """Seconds on the clock and of the processors, its helpers' included."""
    clock, mine = time.perf_counter(), os.times()
    work()
    now = os.times()
    return time.perf_counter() - clock, sum(now[:4]) - sum(mine[:4])


def peak() -> float:
    """Highest memory of this process and of the largest helper. [GiB]"""
    return sum(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)) / 2**20


def count(parts: Iterator[dict[str, np.ndarray]]) -> dict[str, int]:
    """Verdicts as offered; nothing else is kept."""
    total: dict[str, int] = {}
    for part in parts:
        for word, number in zip(*np.unique(part["offered"], return_counts=True), strict=True):
            total[str(word)] = total.get(str(word), 0) + int(number)
    return total


def loop(sheet: Sheet, maker: Maker, rows: int) -> float:
    """Items a second where each is decided by itself."""
    ones = [sheet.item(n) for n in range(rows)]
    start = time.perf_counter()
    for one in ones:
        decide(one, maker)
    return rows / (time.perf_counter() - start)


def from_file(number: int, maker: Maker, processors: int = 1) -> tuple[float, float]:
    """Seconds to read and to decide so many items."""
    with tempfile.TemporaryDirectory() as folder:
        path = items.write(Path(folder) / "items.csv", number)
        start = time.perf_counter()
        read = read_enquiry(path)
        between = time.perf_counter()
        count(decided(read.sheet, maker, processors=processors))
        return between - start, time.perf_counter() - between


def main() -> None:
    maker = load(None)
    decide(items.sheet(200), maker)  # tables and libraries are in
    if len(sys.argv) > 1:
        sheet = items.sheet(int(sys.argv[1]))
        held = sum(c.nbytes for c in (*sheet.values.values(), *sheet.state.values())) / 2**30
        clock, used = taken(lambda: print(count(decided(sheet, maker, processors=2))))
        print(f"{len(sheet):,} items ({held:.2f} GiB): {clock:.1f} s on the clock, {used:.0f} s of processors, {peak():.2f} GiB at most")
        return
    for number in (1_000, 10_000, 100_000):
        read, made = from_file(number, maker)
        print(
            f"{number:9,} items: read {read:7.2f} s, decide {made:7.2f} s, {1e6 * (read + made) / number:6.0f} us an item, {peak():.2f} GiB"
        )
    sheet = items.sheet(10_000)
    whole, _ = taken(lambda: decide(sheet, maker))
    one = loop(sheet, maker, 50)
    print(f"decide, 10 000 at once {10_000 / whole:,.0f} items/s; one by one {one:.1f} items/s; {10_000 / whole / one:.0f} times")


if __name__ == "__main__":
    main()
