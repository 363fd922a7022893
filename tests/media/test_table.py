import numpy as np
import pytest
from chemicals.identifiers import search_chemical

from softseat import tables
from softseat.media.table import ELASTOMERS, METALS, NO, YES, A, B, C, table

MEDIA = table()
# common names of the reference library that share no word with ours, though they are the same substance
SAME = {
    "7732-18-5": "water",
    "142-82-5": "heptane",
    "74-98-6": "propane",
    "811-97-2": "norflurane",
    "74-82-8": "methane",
    "9002-86-2": "chloro",
    "29118-24-9": "tetrafluoro",
    "75-10-5": "difluoromethane",
    "67701-03-5": "acid",
    "26140-60-3": "terphenyl",
    "64742-49-0": "pentane",
    "1305-78-8": "lime",
    "63148-62-9": "siloxane",
    "7440-44-0": "carbon",
    "14808-60-7": "quartz",
    "1310-73-2": "sodium hydroxide",
    "7664-93-9": "sulfuric",
    "7697-37-2": "nitric",
    "115-86-6": "phosphate",
    "57-55-6": "propanediol",
    "127-18-4": "tetrachloroethylene",
    "1305-62-0": "calcium hydroxide",
    "10101-41-4": "calcium sulfate",
    "1317-65-3": "calcium carbonate",
}


def check_digit(cas):
    digits = cas.replace("-", "")
    return sum(n * int(d) for n, d in enumerate(reversed(digits[:-1]), start=1)) % 10 == int(digits[-1])


def test_every_cas_number_has_its_check_digit():
    """Rule of the registry: the last digit is the weighted sum of the others modulo 10."""
    assert [c for c in MEDIA.cas if c and not check_digit(c)] == []


def plain(text):
    return text.lower().replace("ph", "f").replace("aluminum", "aluminium").replace("disulfide", "disulfid").replace("sulfide", "sulfid")


def test_names_agree_with_a_reference_library_where_it_knows_the_number():
    """The library's common name shares a stem with one of the names that we give the number."""
    names = {}
    for row in tables.read("media"):
        names[row["CAS"]] = names.get(row["CAS"], "") + " " + plain(row["medium"] + " " + row["synonyms"])
    odd, known = [], 0
    for cas, ours in names.items():
        try:
            name = search_chemical(cas).common_name if cas else cas
        except ValueError:  # not known there
            continue
        if name == cas:
            continue
        known += 1
        stems = [plain(w)[:5] for w in name.replace("-", " ").split() if len(w) > 3]
        if not any(s in ours for s in stems) and SAME.get(cas, "?") not in name.lower():
            odd.append((cas, name))
    assert known > 120
    assert odd == []


def test_shapes_and_places():
    assert MEDIA.rows(np.array([1.0, 356.0, np.nan, -1.0, 1e6])).tolist() == [0, 355, -1, -1, -1]
    count = len(tables.read("media"))
    assert set(MEDIA.liner_rating) == set(ELASTOMERS)
    assert set(MEDIA.metal_rating) == set(METALS)
    assert all(len(v) == count for v in (*MEDIA.liner_rating.values(), *MEDIA.metal_rating.values(), MEDIA.flash_point))


def test_a_letter_that_holds_has_its_limit_and_a_refusal_has_none():
    for elastomer in ELASTOMERS:
        letter, limit = MEDIA.liner_rating[elastomer], MEDIA.liner_limit[elastomer]
        assert set(letter) <= {A, B, C}
        assert np.array_equal(np.isnan(limit), letter == C)


# Chemistry of the families (handbooks of rubber: like dissolves like, unsaturation and ozone, amines and fluororubber)
@pytest.mark.parametrize(
    ("words", "elastomer"),
    [
        (("acetone", "methyl ethyl ketone", "MIBK", "cyclohexanone"), "NBR"),
        (("acetone", "methyl ethyl ketone", "MIBK", "cyclohexanone", "ethyl acetate", "butyl acetate"), "FKM"),
        (("ammonia solution", "ammonia gas", "ammonia, anhydrous liquid", "monoethanolamine", "aniline", "MDEA gas-sweetening"), "FKM"),
        (("steam, saturated", "steam, above 120 C"), "FKM"),
        (("steam, saturated", "steam, above 120 C"), "VMQ"),
        (("ozone in air", "ozonated water", "ozone generator gas"), "NBR"),
        (("ozone in air", "ozonated water", "ozone generator gas"), "NR"),
        (("benzene", "toluene", "xylene", "dichloromethane", "chlorobenzene"), "NBR"),
        (("nitric acid 30-65 %", "sulphuric acid 93-98 %", "chromic acid"), "EPDM"),
    ],
)
def test_textbook_refusals(words, elastomer):
    for word in words:
        assert MEDIA.liner_rating[elastomer][MEDIA.name == word].tolist() == [C], word


def test_oil_and_the_rubbers_without_polar_groups():
    oily = MEDIA.oil_like == YES
    for elastomer in ("EPDM", "NR"):
        assert set(MEDIA.liner_rating[elastomer][oily]) == {C}
    assert A not in MEDIA.liner_rating["EPDM"][(MEDIA.group == "oil/fuel") & oily]
    assert (MEDIA.liner_rating["NBR"][MEDIA.name == "diesel fuel"] == A).all()


def test_copper_and_ammonia_iron_and_acid():
    for word in ("ammonia solution", "ammonia gas", "ammonium nitrate solution", "sodium cyanide solution", "acetylene"):
        assert MEDIA.metal_rating["AlBronze"][MEDIA.name == word].tolist() == [C]
    for word in ("hydrochloric acid 10 %", "hydrochloric acid 37 %", "ferric chloride", "sodium hypochlorite 12-15 %"):
        assert MEDIA.metal_rating["CF8M_316"][MEDIA.name == word].tolist() == [C]
        assert MEDIA.metal_rating["iron_bare"][MEDIA.name == word].tolist() == [C]


def test_strong_hypochlorite_is_never_a_plain_yes():
    at = MEDIA.name == "sodium hypochlorite 12-15 %"
    assert MEDIA.liner_rating["EPDM"][at] != A
    assert MEDIA.metal_rating["CF8M_316"][at] != A


def test_a_flammable_liquid_above_its_flash_point_is_in_group_one():
    """2014/68/EU, article 13: flammable liquids whose highest temperature is above the flash point."""
    hot = (MEDIA.t_max > MEDIA.flash_point) & (MEDIA.flammable != NO)
    assert hot.any()
    assert set(MEDIA.fluid_group[hot]) == {1.0}
