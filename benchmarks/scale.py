"""Does it stay linear: items of all kinds from a Sheet to flat columns, by their number, on two processors; and in a plain loop.

PYTHONPATH=src:benchmarks python benchmarks/scale.py                     1e3, 1e4, 1e5
PYTHONPATH=src:benchmarks python benchmarks/scale.py 1000 1000000        these
PYTHONPATH=src:benchmarks python benchmarks/scale.py files 1000 10000    read from a file and decided, on one processor
"""

import contextlib
import os
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import compiled
import items
import numpy as np

from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import Maker, load
from softseat.selection.bulk import decided
from softseat.selection.decide import decide
from softseat.sheet import Sheet

PROCESSORS = 2
NUMBERS = (1_000, 10_000, 100_000)
ONE = "one"  # the word that starts a fresh process for one number, so that its memory is its own


def taken(work: Callable[[], object]) -> tuple[float, float]:
    """Seconds on the clock and of the processors, its helpers' included."""
    clock, mine = time.perf_counter(), os.times()
    work()
    now = os.times()
    return time.perf_counter() - clock, sum(now[:4]) - sum(mine[:4])


class Memory(threading.Thread):
    """Looks now and then what this process and its helpers hold together; a page that they share counts once (Linux)."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.highest = 0.0  # [GiB]
        self.start()

    def run(self) -> None:
        while True:
            self.highest = max(self.highest, sum(map(_held, [os.getpid(), *_helpers()])) / 2**20)
            time.sleep(0.25)


def _helpers() -> list[int]:
    tasks = Path("/proc/self/task")
    every = [f.read_text().split() for f in tasks.glob("*/children")]  # a pool is started by a thread of its own
    return [int(pid) for some in every for pid in some]


def _held(process: int) -> int:
    """Its share of the memory. [kiB]"""
    with contextlib.suppress(OSError):
        return next(
            int(line.split()[1]) for line in Path(f"/proc/{process}/smaps_rollup").read_text().splitlines() if line.startswith("Pss:")
        )
    return 0


def count(parts: Iterator[dict[str, np.ndarray]]) -> dict[str, int]:
    """Verdicts as offered; nothing else is kept."""
    total: dict[str, int] = {}
    for part in parts:
        for word, number in zip(*np.unique(part["offered"], return_counts=True), strict=True):
            total[str(word)] = total.get(str(word), 0) + int(number)
    return total


def loop(sheet: Sheet, maker: Maker, rows: int) -> float:
    """Items a second of processor time where each is decided by itself."""
    ones = [sheet.item(n) for n in range(rows)]
    start = time.process_time()
    for one in ones:
        decide(one, maker, thorough=False)
    return rows / (time.process_time() - start)


def from_file(number: int, maker: Maker) -> tuple[float, float]:
    """Seconds to read and to decide so many items."""
    with tempfile.TemporaryDirectory() as folder:
        path = items.write(Path(folder) / "items.csv", number)
        start = time.perf_counter()
        read = read_enquiry(path)
        between = time.perf_counter()
        count(decided(read.sheet, maker))
        return between - start, time.perf_counter() - between


def one(number: int) -> None:
    """A line of the table."""
    maker = load(None)
    decide(items.sheet(200), maker, thorough=False)  # tables and libraries are in, and compiled
    if not number:
        return
    sheet, memory = items.sheet(number), Memory()
    held = sum(c.nbytes for c in (*sheet.values.values(), *sheet.state.values())) / 2**30
    found: dict[str, int] = {}
    clock, used = taken(lambda: found.update(count(decided(sheet, maker, processors=PROCESSORS))))
    verdicts = " ".join(f"{word} {found.get(word, 0) / number:.1%}" for word in ("yes", "if", "ask", "no"))
    print(
        f"{number:10,}{clock:9.1f}{number / clock:10,.0f}{1e6 * clock / number:10.0f}{1e6 * used / number:12.0f}{held:10.2f}"
        f"{memory.highest:10.2f}   {verdicts}"
    )


def files(numbers: list[int]) -> None:
    maker, memory = load(None), Memory()
    decide(items.sheet(200), maker, thorough=False)
    for number in numbers:
        read, made = from_file(number, maker)
        each = 1e6 * (read + made) / number
        print(f"{number:10,} items: read {read:7.2f} s, decide {made:7.2f} s, {each:6.0f} us an item, {memory.highest:.2f} GiB")


def main() -> None:
    words = sys.argv[1:]
    if words[:1] == [ONE]:
        return one(int(words[1]))
    if words[:1] == ["files"]:
        return files([int(w) for w in words[1:]] or list(NUMBERS))
    print(f"{'items':>10}{'s':>9}{'items/s':>10}{'us/item':>10}{'processor us':>12}{'Sheet GiB':>10}{'peak GiB':>10}   verdicts as offered")
    with compiled.settings() as settings:
        subprocess.run([sys.executable, __file__, ONE, "0"], check=True, env=settings)
        for number in [int(w) for w in words] or NUMBERS:
            subprocess.run([sys.executable, __file__, ONE, str(number)], check=True, env=settings)
    maker, sheet = load(None), items.sheet(10_000)
    decide(items.sheet(200), maker)
    _, whole = taken(lambda: decide(sheet, maker, thorough=False))
    alone = loop(sheet, maker, 50)
    print(
        f"10 000 at once on one processor {10_000 / whole:,.0f} items/s; one by one {alone:.1f} items/s; {10_000 / whole / alone:.0f} times"
    )


if __name__ == "__main__":
    main()
