"""Items are explained by the functions that decided; what people can be hurt by is refused."""

import json

import numpy as np
import pytest

from softseat.enquiry.words import read_words
from softseat.job import phone_item
from softseat.maker.package import load
from softseat.selection.decide import decide
from softseat.selection.verdict import WORDS


@pytest.mark.parametrize(
    ("words", "rule"),
    [
        ("oxygen dn50 10 bar 20 C", "R164"),
        ("hydrogen dn80 6 bar 20 C", "R165"),
        ("chlorine gas dn100 3 bar 20 C", "R163"),
        ("steam dn100 3 bar", "R160"),
        ("petrol dn100 4 bar 20 C", "R162"),
        ("toluene dn100 4 bar 20 C nbr", "R042"),
        ("water dn200 40 bar 20 C", "R020"),
        ("water dn1400 4 bar 20 C", "R150"),
    ],
)
def test_refused(words, rule):
    item = phone_item(words)
    assert item.offered == "no"
    assert item.choice is None
    assert rule in {f.rule for f in item.findings if f.severity == "stop"}


def test_a_refusal_names_another_family():
    item = phone_item("steam dn100 3 bar")
    assert item.other_family
    assert item.other_family["family"]


def test_every_number_on_paper_is_finite_and_the_item_is_plain_json():
    item = phone_item("sea water dn300 760 m3/h 6 bar 40C wafer gear")
    assert item.offered in ("yes", "if")
    text = json.dumps(item.as_json(), allow_nan=False)
    assert item.choice["build"] in text
    assert item.numbers["velocity"].value == pytest.approx(760 / 3600 / (np.pi / 4 * 0.3**2), rel=1e-4)


def test_one_item_and_a_thousand_are_the_same_run():
    """To the last bit: the numbers of an item do not depend on its neighbours."""
    maker = load()
    one = decide(read_words("sea water dn300 760 m3/h 6 bar 40C wafer gear").sheet, maker)
    many = decide(read_words("sea water dn300 760 m3/h 6 bar 40C wafer gear").sheet.take_many(np.zeros(7, int)), maker)
    for name in ("torque_required", "kv_full", "shaft_limit", "velocity", "bore_gap"):
        a, b = one.offered[name], many.offered[name]
        assert np.array_equal(a[..., 0], b[..., 6], equal_nan=True), name
    assert WORDS[one.as_offered[0]] in ("yes", "if")


def test_a_part_that_is_not_named_constrains_nothing_and_one_that_is_wrong_does():
    assert phone_item("diesel dn100 4 bar 20 C").as_asked in ("yes", "if")
    wrong = phone_item("diesel dn100 4 bar 20 C epdm")
    assert wrong.as_asked == "no"
    assert wrong.choice["liner"] in ("NBR", "HNBR", "FKM")
    assert [d.asked for d in wrong.deviations if d.field == "liner"] == ["EPDM"]
    assert "R040" in {f.rule for f in wrong.findings if f.applies_to == "asked"}


def test_the_dearest_question_comes_first():
    item = phone_item("compressed air dn80 7 bar 40 C epdm")
    effects = [q.effect for q in item.questions if q.effect is not None]
    assert effects == sorted(effects, reverse=True)
    assert "oil" in {q.field for q in item.questions}
