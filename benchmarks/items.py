"""Mixed items to measure with: every medium of the table, all styles, sizes, ratings, operators, and a few per cent of rubbish.

PYTHONPATH=src python benchmarks/items.py 10000 items.csv
"""

import csv
import io
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from softseat import tables
from softseat.enquiry.reader import read_enquiry
from softseat.sheet import Sheet

HEADS = ("Tag", "Service", "Medium", "Qty", "Size", "Rating", "Flow", "P1 (bar g)", "P2 (bar g)", "Design pressure (bar g)", "T min (C)",
    "T max (C)", "Shut-off dP (bar)", "Body style", "Body material", "Disc", "Liner", "Shaft", "Operator", "Fail position", "Duty",
    "Cycles per day", "Stroke time (s)", "Pipe length (m)", "Remarks")  # fmt: skip
SIZES = ("DN40", "DN50", "DN65", "DN80", "DN100", "DN125", "DN150", "DN200", "DN250", "DN300", "DN350", "DN400", "DN500", "DN600", "DN700",
    "DN800", "DN900", "DN1000", "DN1200", 'NPS 3', 'NPS 8', 'NPS 24')  # fmt: skip
RATINGS = ("PN6", "PN10", "PN16", "PN25", "Class 150", "Class 125", "Table E", "JIS 10K", "")
STYLES = ("wafer", "lugged", "double flanged", "")
BODIES = ("GJS-400-15", "GJL-250", "WCB", "CF8M", "")
DISCS = ("CF8M", "NiAlBz", "duplex", "PA coated", "epoxy coated", "rubber covered", "")
LINERS = ("EPDM", "NBR", "FKM", "CSM", "VMQ", "CR", "NR", "HNBR", "AU", "EPDM white", "")
SHAFTS = ("1.4021", "1.4462", "1.4057", "")
OPERATORS = ("lever", "gear", "pneumatic DA", "pneumatic SR", "electric on-off", "electric modulating", "bare shaft", "")
FAILS = ("open", "close", "stay", "")
DUTIES = ("on-off", "on-off", "on-off", "control", "throttle", "")
SERVICES = ("transfer", "pump discharge", "tank outlet", "by-pass", "drain", "suction", "header isolation", "")
REMARKS = ("", "", "", "", "end of line", "CIP NaOH 2% 80C", "lugged so that the pump can be taken out", "oil traces possible",
    "slip-on flanges", "raised face", "shaft vertical", "outdoor", "insulation 80 mm", "buried")  # fmt: skip
RUBBISH = ("???", "tbd", "#REF!", "-", "see spec", "1e309", "nan", "12 bananas", "=1+1", "\u202eabc", "DN0", "-999", "9" * 40, "PN", "'")
RUBBISH_SHARE = 0.03
VARIED = {"p1": (0.9, 1.1), "t_max": (0.99, 1.01), "flow": (0.7, 1.3), "mass_flow": (0.7, 1.3), "shutoff": (0.9, 1.1), "cycles": (0.5, 2)}


def media() -> list[str]:
    """Each medium under its name and its first synonym."""
    found = []
    for row in tables.read("media"):
        found.append(row["medium"])
        found += [s.strip() for s in row["synonyms"].split(";")[:1] if s.strip()]
    return found


def rows(count: int, seed: int = 11, block: int = 10_000) -> Iterator[list[str]]:
    """Items one after the other, never two alike; the same for the same seed."""
    names = media()
    for start in range(0, count, block):
        rng = np.random.default_rng([seed, start])
        yield from _block(rng, names, start, min(block, count - start))


def _block(rng: np.random.Generator, names: list[str], start: int, size: int) -> Iterator[list[str]]:
    def of(words: tuple[str, ...] | list[str]) -> list[str]:
        return [words[i] for i in rng.integers(len(words), size=size)]

    def figures(values: np.ndarray, form: str, missing: float) -> list[str]:
        gone = rng.random(size) < missing
        return ["" if g else form.format(v) for g, v in zip(gone.tolist(), values.tolist(), strict=True)]

    p1 = rng.gamma(2.0, 2.5, size)
    cold = rng.uniform(-15, 40, size)
    flow = 10 ** rng.uniform(0.5, 3.8, size)
    units = of(("m3/h", "m3/h", "m3/h", "kg/h", "Nm3/h", "l/s"))
    flows = [f"{f} {u}" if f else "" for f, u in zip(figures(flow, "{:.1f}", 0.1), units, strict=True)]
    columns = [
        [f"BV-{start + i + 1}" for i in range(size)], of(SERVICES), of(names), figures(rng.integers(1, 6, size), "{}", 0.2), of(SIZES),
        of(RATINGS), flows, figures(p1, "{:.2f}", 0.05), figures(p1 * rng.uniform(0.3, 0.99, size), "{:.2f}", 0.5),
        figures(p1 * rng.uniform(1.0, 1.6, size), "{:.1f}", 0.3), figures(cold, "{:.0f}", 0.5),
        figures(cold + rng.gamma(2.0, 25.0, size), "{:.0f}", 0.1), figures(p1 * rng.uniform(0.8, 1.1, size), "{:.2f}", 0.4), of(STYLES),
        of(BODIES), of(DISCS), of(LINERS), of(SHAFTS), of(OPERATORS), of(FAILS), of(DUTIES), figures(10 ** rng.uniform(-2, 2.5, size),
        "{:.2g}", 0.6), figures(10 ** rng.uniform(0, 2, size), "{:.0f}", 0.7), figures(10 ** rng.uniform(1, 4, size), "{:.0f}", 0.9),
        of(REMARKS),
    ]  # fmt: skip
    for cells in zip(*columns, strict=True):
        row = list(cells)
        if rng.random() < RUBBISH_SHARE:
            for place in rng.integers(1, len(row), 4):
                row[place] = RUBBISH[rng.integers(len(RUBBISH))]
        yield row


def text(count: int, seed: int = 11) -> str:
    """The enquiry as delimited text."""
    out = io.StringIO()
    _written(out, count, seed)
    return out.getvalue()


def write(path: Path, count: int, seed: int = 11) -> Path:
    """The enquiry as a file."""
    with path.open("w", encoding="utf-8", newline="") as out:
        _written(out, count, seed)
    return path


def sheet(count: int, seed: int = 11, read: int = 20_000) -> Sheet:
    """The items as a Sheet without origins: some are read from text, the others are those again with duties of their own."""
    with tempfile.TemporaryDirectory() as folder:
        known = read_enquiry(write(Path(folder) / "items.csv", min(read, count), seed)).sheet
    rng = np.random.default_rng(seed)
    rows = np.concatenate([np.arange(len(known)), rng.integers(len(known), size=count - len(known))])
    values = {name: column[..., rows] for name, column in known.values.items()}
    fresh = np.arange(count) >= len(known)
    for name, spread in VARIED.items():
        values[name] = np.where(fresh, values[name] * rng.uniform(*spread, size=count), values[name])
    values["tag"] = np.where(fresh, np.char.add("BV-", np.arange(1, count + 1).astype(str)), values["tag"])
    return Sheet(values, {name: state[rows] for name, state in known.state.items()})


def _written(out: io.TextIOBase | io.StringIO, count: int, seed: int) -> None:
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEADS)
    writer.writerows(rows(count, seed))


if __name__ == "__main__":
    print(write(Path(sys.argv[2]), int(sys.argv[1])))
