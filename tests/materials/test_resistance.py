import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat import tables
from softseat.errors import UnknownName
from softseat.materials.letters import UNKNOWN, A, B, C, neighbours, worst
from softseat.materials.resistance import ELASTOMERS, liner_rating, metal_column, metal_rating

ID = {row["medium"]: int(row["id"]) for row in tables.read("media")}
NAN = float("nan")
BADNESS = {C: 3, UNKNOWN: 2, B: 1, A: 0}
media = st.sampled_from(sorted(ID.values()))
rubbers = st.sampled_from(ELASTOMERS)
metals = st.sampled_from([row["key"] for row in tables.read("metal_columns")])
kelvin = st.floats(250, 480)


def rating(medium, liner, celsius=20.0, concentration=NAN):
    return int(liner_rating(ID[medium], liner, celsius + 273.15, concentration)[0])


# Chemistry of the families: handbooks of rubber (polar with polar, unsaturation and ozone, amines and fluororubber, water and heat)
@pytest.mark.parametrize(
    ("medium", "liner", "celsius", "letter"),
    [
        ("diesel fuel", "EPDM", 20, C),
        ("mineral lubricating oil", "EPDM", 20, C),
        ("diesel fuel", "NBR", 20, A),
        ("acetone", "NBR", 20, C),
        ("acetone", "FPM", 20, C),
        ("acetone", "EPDM", 20, A),
        ("toluene", "NBR", 20, C),
        ("toluene", "FKM", 20, A),
        ("ammonia gas", "FKM", 20, C),
        ("ozone in air", "NBR", 20, C),
        ("ozone in air", "EPDM", 20, A),
        ("steam, saturated", "FKM", 110, C),
        ("potable water, cold", "EPDM", 20, A),
        ("sulphuric acid 93-98 %", "CSPE", 40, B),
        ("sulphuric acid 93-98 %", "CSPE", 71, C),
        ("sulphuric acid 93-98 %", "EPDM", 20, C),
        ("rapeseed", "EPDM", 20, C),
    ],
)
def test_families(medium, liner, celsius, letter):
    name = "vegetable oil (rape, soya)" if medium == "rapeseed" else medium
    assert rating(name, liner, celsius) == letter


def test_the_letter_falls_above_its_limit():
    found, limit = liner_rating(ID["cooling tower water"], "EPDM", np.array([20.0, 79.9, 80.1, NAN]) + 273.15)
    assert found.tolist() == [A, A, C, A]
    assert limit == pytest.approx(np.full(4, 353.15))


def test_the_rubber_caps_the_medium():
    """Neither row nor temperature lifts a rubber above its own safe limit (low-nitrile NBR: 70 C)."""
    assert liner_rating(ID["hydraulic oil HLP/HM"], "NBR_lowACN", 350.0)[0] == C
    assert liner_rating(ID["hydraulic oil HLP/HM"], "NBR_lowACN", 350.0)[1] == pytest.approx(343.15)
    assert liner_rating(ID["hydraulic oil HLP/HM"], "NBR", 350.0)[0] == A


def test_between_two_strengths_the_worse_neighbour():
    weak, strong, between = (liner_rating(ID["acetic acid 10 %"], "FKM", 293.15, c)[0] for c in (0.08, 0.5, 0.2))
    assert (weak, strong, between) == (B, C, C)
    _, limit = liner_rating(ID["acetic acid 10 %"], "EPDM", 293.15, 0.2)
    assert limit - 273.15 == pytest.approx(50)  # 60 C at 10 %, 50 C at 30 to 80 %


def test_the_strength_chooses_the_row_whatever_row_was_named():
    one = [liner_rating(ID[f"sulphuric acid {s}"], "EPDM", 293.15, 0.96)[0] for s in ("<= 10 %", "50-75 %", "93-98 %")]
    assert [int(x) for x in one] == [C, C, C]
    assert rating("sulphuric acid 93-98 %", "EPDM", 20, 0.2) == A


def test_beyond_the_strongest_and_without_a_row_nothing_is_known():
    assert rating("hydrochloric acid 37 %", "EPDM", 20, 0.60) == UNKNOWN
    found, limit = liner_rating([NAN, -1.0, 9999.0, ID["sea water"], ID["sea water"]], ["EPDM", "EPDM", "EPDM", "", "leather"], 293.15)
    assert found.tolist() == [UNKNOWN] * 5
    assert np.isnan(limit).all()


def test_ph_and_solids_that_the_row_does_not_cover():
    water = ID["service / process / irrigation water"]
    assert liner_rating(water, "NBR", 293.15, ph=[7.0, 3.0, 12.0, NAN])[0].tolist() == [A, C, C, A]
    assert liner_rating(water, "EPDM", 293.15, ph=3.0)[0] == A
    assert liner_rating(water, "EPDM", 293.15, solids=[0.0, 0.1])[0].tolist() == [A, B]


# Textbook corrosion: ammonia cracks copper alloys; chlorides pit 316; acid takes iron; strong hypochlorite takes 316
@pytest.mark.parametrize(
    ("medium", "metal", "letter"),
    [
        ("ammonia solution", "NiAlBz", C),
        ("sea water", "CF8M", C),
        ("sea water", "NiAlBz", A),
        ("hydrochloric acid 10 %", "CF8M", C),
        ("hydrochloric acid 10 %", "GJS-400-15", C),
        ("sodium hypochlorite 12-15 %", "CF8M", C),
        ("nitric acid 30-65 %", "CF8M", A),
        ("sodium hydroxide 50 %", "NiAlBz", C),
        ("acetylene", "CC480K", C),
        ("potable water, cold", "CF8M", A),
        ("hydrochloric acid 10 %", "rubber_covered", A),
        ("sea water", "Ti", UNKNOWN),
    ],
)
def test_metals(medium, metal, letter):
    assert metal_rating(ID[medium], metal, 293.15) == letter


def test_a_metal_letter_falls_well_above_the_temperature_of_its_row():
    """Potable water stands to 25 C in the table: believed 10 K further, then a letter lower; a B falls 40 K above."""
    assert metal_rating(ID["potable water, cold"], "CF8M", np.array([20.0, 34.0, 36.0]) + 273.15).tolist() == [A, A, B]
    assert metal_rating(ID["potable water, cold"], "GJS-400-15", np.array([20.0, 64.0, 66.0]) + 273.15).tolist() == [B, B, C]


def test_nearest_columns_are_marked_and_never_better():
    assert metal_column("4469")["near"] == "near"
    for row in tables.read("metal_columns"):
        if row["b_falls"] == "yes":
            better = {"CF8M_316": "CF8M", "AlBronze": "NiAlBz"}[row["column"]]
            for medium in ID.values():
                one, other = (int(metal_rating(medium, key, 293.15)) for key in (row["key"], better))
                assert BADNESS[one] >= BADNESS[other]
    with pytest.raises(UnknownName, match="known are GJL-250"):
        metal_column("wood")


def test_every_body_has_a_column():
    known = {row["key"] for row in tables.read("metal_columns")}
    assert {row["key"] for row in tables.read("body_class")} <= known


@given(media, rubbers, kelvin, st.floats(0, 80), st.floats(0, 1) | st.just(NAN))
def test_more_heat_never_improves_a_rubber(medium, rubber, t, more, share):
    cool, hot = liner_rating(medium, rubber, [t, t + more], share)[0]
    assert BADNESS[int(hot)] >= BADNESS[int(cool)]


@given(media, metals, kelvin, st.floats(0, 80), st.floats(0, 1) | st.just(NAN))
def test_more_heat_never_improves_a_metal(medium, metal, t, more, share):
    cool, hot = metal_rating(medium, metal, [t, t + more], share)
    assert BADNESS[int(hot)] >= BADNESS[int(cool)]


@given(st.lists(st.sampled_from([A, B, C, UNKNOWN]), min_size=1, max_size=5), st.sampled_from([A, B, C, UNKNOWN]))
def test_a_component_added_never_improves_a_mixture(letters, added):
    assert BADNESS[int(worst(np.array([*letters, added])))] >= BADNESS[int(worst(np.array(letters)))]
    assert all(int(worst(np.array(p))) == int(worst(np.array(letters))) for p in itertools.islice(itertools.permutations(letters), 6))


@given(st.sampled_from([tuple(map(int, r["ids"].split())) for r in tables.read("strength_families")]), st.floats(0, 1.0))
def test_neighbours_enclose_the_strength(family, share):
    """Where a row holds it is taken; in a gap the rows on both sides; beyond the last none (checked by plain search)."""
    rows = tables.read("media")
    low, high = (int(x) for x in neighbours(family[0], share))
    ends = [(float(rows[n - 1]["c_min_pct"]) / 100, float(rows[n - 1]["c_max_pct"]) / 100, n - 1) for n in family]
    inside = [place for a, b, place in ends if a < share < b]
    if inside:
        assert low == high == inside[0]
    elif share > ends[-1][1] * 1.05:
        assert low == high == -1
    elif low >= 0:
        assert {low, high} <= {place for _, _, place in ends}
        assert low <= high or family.index(low + 1) < family.index(high + 1)


def test_many_are_quick_and_one_by_one_the_same():
    rng = np.random.default_rng(7)
    ids, rubber = rng.integers(1, 357, 400), rng.choice(ELASTOMERS, 400)
    t, c = rng.uniform(270, 420, 400), rng.uniform(0, 1, 400)
    together = liner_rating(ids, rubber, t, c)[0]
    assert together.tolist() == [int(liner_rating(*one)[0]) for one in zip(ids, rubber, t, c, strict=True)]


@given(media, rubbers, kelvin, st.floats(0, 1))
def test_solids_never_improve_a_rubber(medium, rubber, t, solids):
    clean, dirty = (int(liner_rating(medium, rubber, t, solids=s)[0]) for s in (NAN, solids))
    assert BADNESS[dirty] >= BADNESS[clean] or clean == UNKNOWN


def test_solids_leave_a_refused_rubber_refused():
    """Every medium with every rubber at once, with more solids than any row covers: what was C is C."""
    which, rubber = np.meshgrid(sorted(ID.values()), ELASTOMERS)
    clean, dirty = (liner_rating(which.ravel(), rubber.ravel(), 293.15, solids=s)[0] for s in (NAN, 1.0))
    assert (clean == C).sum() > 100
    assert (dirty[clean == C] == C).all()
    assert (dirty[clean == B] == B).all()


def test_a_ph_a_little_beyond_the_row_still_counts_as_the_row():
    """Half a pH (the house's reading) on both sides of the row, whatever the rubber itself bears; beyond it the rubber decides."""
    seen = 0
    for row in tables.read("media"):
        if row["ph_min"] and row["ph_max"]:
            near = float(row["ph_min"]) - 0.4, float(row["ph_max"]) + 0.4
            for rubber in ELASTOMERS:
                plain = liner_rating(int(row["id"]), rubber, 293.15)[0]
                assert liner_rating(int(row["id"]), rubber, 293.15, ph=np.array(near))[0].tolist() == [plain, plain]
                seen += 1
    assert seen > 100
