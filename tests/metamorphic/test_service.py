"""A harder service never gets a milder verdict; what can hurt people never passes in silence; one alone is as among many."""

import csv
import io

import numpy as np
import pytest
from tests.enquiry.sheets import BREWERY, OIL, SEA

from softseat import tables
from softseat.enquiry.reader import read_enquiry
from softseat.maker.package import load
from softseat.register import HOLDS
from softseat.selection.choice import build_code
from softseat.selection.decide import decide
from softseat.selection.parted import of_schedule
from softseat.selection.verdict import ASK, IF, NO, WORDS, YES
from softseat.sheet import Sheet

MAKER = load()
DOUBT = ("R004", "R008")  # flow and temperature that cannot be right
MILD = {NO: 0, ASK: 1, IF: 1, YES: 2}


@pytest.fixture(scope="module", params=[SEA, BREWERY, OIL], ids=lambda p: p.stem)
def sheet(request):
    return of_schedule(read_enquiry(request.param).sheet)


@pytest.mark.parametrize("thorough", [True, False])
def test_one_alone_is_as_among_many_to_the_last_bit(sheet, thorough):
    many = decide(sheet, MAKER, thorough)
    for n in range(len(sheet)):
        one = decide(sheet.item(n), MAKER, thorough)
        for which in ("asked", "offered"):
            whole, alone = getattr(many, which), getattr(one, which)
            moved = [
                name
                for name, column in whole.values.items()
                if not np.array_equal(column[..., n], alone[name][..., 0], equal_nan=column.dtype.kind == "f")
                or whole.state[name][n] != alone.state[name][0]
            ]
            assert moved == [], (which, n)
        assert [r for r, said in many.judged_asked.items() if said[n] != one.judged_asked[r][0]] == []
        assert [r for r, said in many.judged_offered.items() if said[n] != one.judged_offered[r][0]] == []
        assert (many.as_asked[n], many.as_offered[n]) == (one.as_asked[0], one.as_offered[0])


def with_more(sheet, names, factor=1.0, shift=0.0):
    values = dict(sheet.values)
    for name in names:
        values[name] = values[name] * factor + shift
    return Sheet(values, sheet.state, sheet.origin, sheet.why)


def milder(before, after):
    """Items whose verdict is milder in the harder service: as asked always, as offered where the build is the same or a no is lifted.

    A part that was asked for is kept on a condition; once the harder service stops it, the part that takes its place may need none.
    """
    found = []
    for which in ("as_asked", "as_offered"):
        for n, (a, b) in enumerate(zip(getattr(before, which).tolist(), getattr(after, which).tolist(), strict=True)):
            other = which == "as_offered" and a != NO and build_code(before.offered, n) != build_code(after.offered, n)
            # what cannot be right is asked about before it is judged: the harder value is no known datum any more
            doubted = b == ASK and any(after.judged_asked[r][n] == HOLDS for r in DOUBT)
            if MILD[b] > MILD[a] and not other and not doubted:
                found.append((which, n, str(WORDS[a]), str(WORDS[b])))
    return found


def moved(sheet, names, factor=1.0, shift=0.0, only=slice(None)):
    """What got milder with more of these."""
    part = sheet.take(np.arange(len(sheet))[only])
    return milder(decide(part, MAKER), decide(with_more(part, names, factor, shift), MAKER))


@pytest.mark.parametrize("factor", [1.1, 1.5, 2.0, 4.0])
def test_more_pressure_is_never_milder(sheet, factor):
    assert moved(sheet, ("p_max", "p_design", "shutoff"), factor) == []


@pytest.mark.parametrize("kelvin", [5.0, 20.0, 50.0, 100.0])
def test_hotter_is_never_milder(sheet, kelvin):
    assert moved(sheet, ("t_max",), shift=kelvin) == []


@pytest.mark.parametrize("factor", [1.2, 2.0, 4.0])
def test_faster_is_never_milder(sheet, factor):
    """But for slurries, which settle where they are slow (R083)."""
    liquid = decide(sheet, MAKER).asked["state"] != "slurry"
    assert moved(sheet, ("flow", "flow_max", "flow_min", "mass_flow"), factor, only=liquid) == []


def harmful(row):
    """Toxic by the table, oxygen, or hydrogen; peroxide is neither."""
    name = row["medium"].casefold()
    return row["toxic"] == "yes" or "oxygen" in name or (name.startswith("hydrogen") and "peroxide" not in name)


def test_what_can_hurt_never_gets_a_plain_yes(tmp_path):
    """Every such medium of the table over sizes and pressures, with rubbers in turn."""
    media = [row["medium"] for row in tables.read("media") if harmful(row)]
    rows = [["Tag", "Medium", "Size", "Rating", "P1 bar g", "T max C", "Liner", "Operator"]]
    for m, medium in enumerate(media):
        for s, size in enumerate(("DN50", "DN150", "DN400", "DN1000")):
            for p, pressure in enumerate(("0.1", "3", "9.5")):
                rows.append([f"V-{m}-{s}-{p}", medium, size, "PN10", pressure, "20", ("EPDM", "NBR", "FKM", "")[(m + s + p) % 4], "gear"])
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    path = tmp_path / "harm.csv"
    path.write_text(out.getvalue(), "utf-8")
    read = read_enquiry(path)
    assert len(read.sheet) == len(rows) - 1 > 600
    made = decide(read.sheet, MAKER)
    assert {str(read.sheet["medium"][n]) for n in np.flatnonzero((made.as_asked == YES) | (made.as_offered == YES))} == set()
