import pytest

from softseat.enquiry.words import read_words
from softseat.errors import InputError


def said(text):
    sheet = read_words(text).sheet
    return {n: v[0].item() for n, v in sheet.values.items() if sheet.state[n][0] and not (v.dtype.kind == "b" and not v[0])}


def test_sea_water():
    found = said("sea water dn300 760 m3/h 6 bar 40C wafer lever")
    assert (found["medium"], found["dn"], found["body_style"], found["operator"]) == ("sea water", 300, "wafer", "lever")
    assert found["flow"] == pytest.approx(760 / 3600)
    assert found["p1"] == found["p_max"] == pytest.approx(6e5 + 101325)
    assert found["t_max"] == found["t_normal"] == pytest.approx(313.15)


def test_air():
    found = said("air dn150 pn16 3 bar 60 C 900 Nm3/h pneumatic fail close nbr")
    expected = {"medium": "air", "rating": "PN16", "liner": "NBR", "operator": "pneumatic_da", "fail": "close", "flow_kind": "normal_gas"}
    assert {k: found[k] for k in expected} == expected
    assert found["flow"] == pytest.approx(0.25)


def test_american():
    found = said("4 in 150# diesel 60 gpm 45 psig 104F lugged gear")
    assert (found["medium"], found["dn"], found["rating"], found["body_style"], found["operator"]) == (
        "diesel",
        100,
        "Class 150",
        "lugged",
        "gear",
    )
    assert found["t_max"] == pytest.approx(313.15)
    assert found["p1"] == pytest.approx(45 * 6894.757 + 101325, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "name", "value"),
    [
        ("sulphuric acid 20 % dn80 2 bar", "medium", "sulphuric acid 20 %"), ("sulphuric acid 20 % dn80 2 bar", "concentration", 0.2),
        ("4 x dn200 water epdm dp 0.2 bar 400 m3/h", "drop", 2e4), ("4 x dn200 water", "quantity", 4.0),
        ("water dn200 shut-off 10 bar", "shutoff", 1e6),
        ("water dn200 5-35 C", "t_min", 278.15), ("silicone oil dn100 fkm liner", "medium", "silicone oil"),
        ("silicone oil dn100 fkm liner", "liner", "FKM"),
        ("steam dn100 silicone liner", "liner", "VMQ"), ("water dn250 flow control 540 m3/h", "duty", "control"),
        ("water dn50 8 cycles/day", "cycles", 2920.0),
        ("brine dn300 duplex disc", "disc", "4462_4A"), ("hot water dn50 90C 121 C for 30 min", "t_excursion", 394.15),
        ("compressed air dn80 spring return fc", "fail", "close"), ("water dn80 p2 1 barg", "p2", 201325.0),
        ("lime slurry dn80 SG 1.05", "density", 1050.0),
        ("water 2 1/2\" class 150", "dn", 65.0), ("water dn100 lugged end of line", "removable_side", "yes"),
        ("glycol -10 to 40 C dn80", "t_min", 263.15),
    ],
)  # fmt: skip
def test_what_has_a_name_is_taken_out(text, name, value):
    assert said(text)[name] == (value if isinstance(value, str) else pytest.approx(value))


def test_the_order_of_the_words_does_not_matter():
    one, other = said("diesel dn100 pn16 6 barg 40 C wafer lever nbr"), said("nbr lever wafer 40 C 6 barg pn16 dn100 diesel")
    assert one == other


def test_no_words():
    with pytest.raises(InputError, match="words"):
        read_words("  ")


@pytest.mark.parametrize(
    ("text", "medium"), [("natural gas dn100 0.1 bar", "natural gas"), ("drinking water dn400 PN10", "drinking water")]
)
def test_an_approval_that_is_a_medium_stays_one(text, medium):
    """Common practice, no source."""
    assert read_words(text).sheet["medium"][0] == medium
