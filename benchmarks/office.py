"""A sizing sheet of the same rows recalculated by a headless office suite (LibreOffice), beside our arrays; both give the same Kv.

PYTHONPATH=src:benchmarks python benchmarks/office.py [rows]
"""

import csv
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import xlsxwriter

import flow
from softseat.flow.liquid import liquid_kv

HEADS = ("flow", "p1", "p2", "density", "pv", "pc", "fl")
# the same equations, of IEC 60534-2-1, cell by cell: FF, the drop that counts, Kv
FORMULAS = (
    "=0.96-0.28*SQRT(E{r}/F{r})",
    "=MIN(B{r}-C{r},G{r}^2*(B{r}-H{r}*E{r}))",
    "=A{r}*3600*SQRT(D{r}/999.103/(I{r}/100000))",
)
SETTING = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item></oor:items>
"""  # recalculate always


def program() -> str | None:
    """Where the office suite is, if it is installed."""
    return shutil.which("soffice") or shutil.which("libreoffice")


def sheet(path: Path, rows: dict[str, np.ndarray]) -> None:
    book = xlsxwriter.Workbook(str(path))
    page = book.add_worksheet("Sizing")
    page.write_row(0, 0, [*HEADS, "ff", "drop", "kv"])
    for r, values in enumerate(zip(*(rows[h].tolist() for h in HEADS), strict=True), start=1):
        page.write_row(r, 0, values)
        for c, formula in enumerate(FORMULAS, start=len(HEADS)):
            page.write_formula(r, c, formula.format(r=r + 1))
    book.close()


def recalculated(path: Path, profile: Path) -> tuple[float, np.ndarray]:
    """Seconds from the file to the file with its results, and the Kv that stand there."""
    settings = profile / "user" / "registrymodifications.xcu"
    settings.parent.mkdir(parents=True, exist_ok=True)
    settings.write_text(SETTING)
    words = [program() or "soffice", f"-env:UserInstallation={profile.as_uri()}", "--headless", "--convert-to", "csv", "--outdir"]
    start = time.perf_counter()
    subprocess.run([*words, str(path.parent), str(path)], check=True, capture_output=True)
    taken = time.perf_counter() - start
    with path.with_suffix(".csv").open(newline="") as file:
        return taken, np.array([float(row[-1]) for row in list(csv.reader(file))[1:]])


def compared(number: int) -> tuple[float, float]:
    """Rows a second of ours and of the office suite, its start taken off."""
    rows = flow.rows(number)
    asked = {h: rows[h] for h in HEADS}
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        few = {h: rows[h][:2] for h in HEADS}
        sheet(place / "few.xlsx", few)
        sheet(place / "many.xlsx", rows)
        recalculated(place / "few.xlsx", place / "profile")  # the profile is made
        idle, _ = recalculated(place / "few.xlsx", place / "profile")
        taken, theirs = recalculated(place / "many.xlsx", place / "profile")
    mine = np.asarray(liquid_kv(**asked)[0])
    if not np.allclose(mine, theirs, rtol=1e-6):
        raise ValueError(f"the two do not agree: {np.nanmax(np.abs(theirs / mine - 1)):.1e}")
    return flow.rate(lambda: liquid_kv(**asked), number), number / (taken - idle)


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 50_000
    if program() is None:
        print("no office suite is installed")
        return
    mine, theirs = compared(number)
    print(f"{'liquid-kv, office suite':28}{mine:14,.0f}{theirs:18,.0f}{mine / theirs:8.1f}")


if __name__ == "__main__":
    main()
