"""A maker's data gone bad: the check names faults, or the data still decide; nothing else ever leaves."""

import csv
import io
import os
import random
import shutil

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.enquiry.sheets import BREWERY

from softseat.enquiry.reader import read_enquiry
from softseat.errors import SoftseatError
from softseat.maker.check import check
from softseat.maker.package import SHIPPED, load
from softseat.selection.decide import decide

CASES = int(os.environ.get("SOFTSEAT_CASES", "25"))
many = settings(max_examples=CASES, deadline=None, derandomize="SOFTSEAT_CASES" not in os.environ, suppress_health_check=list(HealthCheck))
EVIL = (
    "",
    " ",
    "nan",
    "inf",
    "-1",
    "0",
    "1e309",
    "9" * 400,
    "x",
    "=1+1",
    "DN200",
    "\u202e",
    "../../x",
    "1,5",
    "F99",
    "PN16;PN10",
    "\x00",
    "yes",
)
READ = read_enquiry(BREWERY)


def spoil(folder, rng):
    """One file changed: cells, headings, lines, bytes, or away."""
    file = rng.choice(sorted(p for p in folder.iterdir() if p.suffix in (".csv", ".json")))
    how = rng.randrange(8)
    if how == 0:
        file.unlink()
    elif how == 1:
        file.write_bytes(file.read_bytes()[: rng.randrange(1, 400)])
    elif how == 2:
        file.write_bytes(bytes(rng.randrange(256) for _ in range(200)))
    elif file.suffix == ".json":
        text = file.read_text("utf-8", "replace")
        place = rng.randrange(len(text))
        file.write_text(text[:place] + rng.choice(EVIL).replace("\x00", "") + text[place + rng.randrange(4) :], "utf-8")
    else:
        rows = list(csv.reader(io.StringIO(file.read_text("utf-8", "replace"))))
        for _ in range(rng.randint(1, 5)):
            row = rows[rng.randrange(len(rows))]
            if row:
                row[rng.randrange(len(row))] = rng.choice(EVIL)
        if rng.random() < 0.2:
            rows += [rng.choice(rows), []]
        out = io.StringIO()
        csv.writer(out, lineterminator="\n").writerows(rows)
        file.write_text(out.getvalue(), "utf-8")


@many
@given(seed=st.integers(0, 10**9))
def test_spoiled_data(tmp_path_factory, seed):
    folder = tmp_path_factory.mktemp("m") / "maker"
    shutil.copytree(SHIPPED, folder)
    rng = random.Random(seed)
    for _ in range(rng.randint(1, 3)):
        spoil(folder, rng)
    try:
        faults = check(folder)
    except SoftseatError as error:
        faults = [str(error)]
    try:
        maker = load(folder)
    except SoftseatError:
        assert faults  # what cannot be loaded has been said before
        return
    if not faults:
        decide(READ.sheet, maker)
