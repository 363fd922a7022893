"""In place of an old valve: the drilling from its measures, the gap and the spool, what does not go and what is to be asked."""

import numpy as np
import pytest

from softseat.errors import InputError, UnknownName
from softseat.works.replace import replacement, series_of

# EN 1092-1 PN16 DN200: bolt circle 295, twelve holes of 22, outside 340 mm; EN 558 series 20: 60 mm, series 14: 230 mm
OLD = {"bolt_circle": "294.5 mm", "holes": 12, "hole_diameter": "22.4 mm", "outside_diameter": "341 mm"}


def test_an_old_valve_of_the_same_length_is_replaced_as_it_is(maker):
    found = replacement({**OLD, "face_to_face": "60 mm", "body_style": "wafer"}, maker)
    assert {(f["system"], f["rating"]) for f in found.flanges} >= {("EN 1092-1", "PN16")}
    assert "EN 558 20" in found.series
    assert found.fits[0].spool == 0
    assert found.fits[0].dn == 200
    assert "fits the gap" in found.fits[0].text


def test_an_old_gate_valve_leaves_a_gap_for_a_spool(maker):
    found = replacement({**OLD, "face_to_face": "230 mm", "joints": "4 mm", "body_style": "wafer"}, maker)
    assert found.fits[0].spool == pytest.approx(0.230 + 0.004 - 0.060)
    assert "a spool of 174 mm" in found.fits[0].text
    assert any("EN 558 14" in s or "EN 558 3" in s for s in found.series)


def test_a_gap_that_is_too_short_refuses_with_the_figures(maker):
    found = replacement({**OLD, "face_to_face": "40 mm", "body_style": "wafer"}, maker)
    assert found.fits == ()
    assert any("60 mm long, the gap is 40 mm" in w for w in found.why_not)


def test_from_the_nameplate_alone(maker):
    found = replacement({"size": "DN200", "rating": "PN16", "top_flange": "F05"}, maker)
    assert found.fits
    assert np.isnan(found.fits[0].spool)
    assert "length not known" in found.fits[0].text
    assert found.ask[0].startswith("How long is the old valve")
    assert {f.operator_fits for f in found.fits} == {"bracket"}


def test_an_old_operator_goes_on_its_own_top_flange(maker):
    own = replacement({"size": "DN200", "rating": "PN16", "body_style": "wafer"}, maker).fits[0].top_flange
    assert replacement({"size": "DN200", "rating": "PN16", "body_style": "wafer", "top_flange": own}, maker).fits[0].operator_fits == "yes"


def test_a_size_that_the_maker_has_not_is_said(maker):
    found = replacement({"size": "DN50", "rating": "PN16", "body_style": "double_flanged"}, maker)
    assert found.fits == ()
    assert any("no valve of that size" in w for w in found.why_not)
    assert replacement({"size": "DN1800", "rating": "PN10"}, maker).why_not == (
        "no drilling of the tables has these measures, or none of this size is known",
    )


def test_drillings_that_share_their_holes_ask_for_the_outside(maker):
    """EN 1092 DN80 PN16 and Class 150 differ; Table E and PN10 at DN200 share eight or twelve holes: whatever fits is all named."""
    less = {k: v for k, v in OLD.items() if k != "outside_diameter"}
    found = replacement(less, maker)
    assert len({(f["system"], f["rating"]) for f in found.flanges}) > 1
    assert any("Outside diameter" in a for a in found.ask)


def test_series_by_length():
    """EN 558: DN200 series 20 is 60 mm, 25 is 71 mm, 16 is 89 mm (from memory, in the table)."""
    assert "EN 558 20" in series_of(0.0605, 200)
    assert series_of(0.053, 200) == ()


@pytest.mark.parametrize(
    ("told", "error", "said"),
    [
        ({"bolt": 3}, InputError, "'bolt' is not known"),
        ({"face_to_face": "60 mm"}, InputError, "wanted are bolt_circle"),
        ({**OLD, "bolt_circle": "wide"}, InputError, "no number"),
        ({**OLD, "holes": -4}, InputError, "above 0"),
        ({"size": "DN200", "rating": "PN17"}, UnknownName, "PN17"),
    ],
)
def test_what_cannot_be_used_is_said(maker, told, error, said):
    with pytest.raises(error, match=said):
        replacement(told, maker)
