"""The effect of a question: the share of plausible answers that change verdict or build, through the chain itself."""

import numpy as np
import pytest

from softseat.enquiry.words import read_words
from softseat.job import phone_item
from softseat.maker.package import load
from softseat.selection.decide import decide
from softseat.selection.effects import Answer, Trial, flips, outcome, plausible, varied


@pytest.fixture(scope="module")
def maker():
    return load()


def test_an_answer_that_decides_has_an_effect(maker):
    """Compressed air on EPDM: with oil another rubber is offered, without it is not."""
    item = phone_item("compressed air dn80 7 bar 30 C epdm")
    effect = {q.field: q.effect for q in item.questions}
    assert effect["oil"] > 0


def test_a_trial_changes_its_own_field_and_nothing_else(maker):
    read = read_words("water dn200 6 bar 40 C epdm wafer gear")
    decided = decide(read.sheet, maker)
    hot = Answer("t_max", "add", 85.0, "any", "85 K more")
    sheet = varied(read.sheet, decided.asked, [Trial(0, "t_max", hot)])
    assert sheet["t_max"][0] == pytest.approx(decided.asked["t_max"][0] + 85.0)
    assert sheet["p_max"][0] == read.sheet["p_max"][0] or np.isnan(read.sheet["p_max"][0])
    assert outcome(decide(sheet, maker))[0][0] == "no"


def test_a_tried_item_without_a_change_comes_out_as_decided(maker):
    read = read_words("sea water dn300 760 m3/h 6 bar 40C wafer gear")
    decided = decide(read.sheet, maker)
    same = Answer("t_max", "add", 0.0, "any", "nothing")
    again = decide(varied(read.sheet, decided.asked, [Trial(0, "t_max", same)] * 3), maker)
    assert outcome(again) == outcome(decided) * 3


def test_what_flips_an_item_is_told(maker):
    read = read_words("hot water dn100 4 bar 118 C epdm wafer gear")
    decided = decide(read.sheet, maker)
    turned = flips(read.sheet, decided, maker, [0])
    assert any("more" in words and words.endswith("no") for words in turned[0])


def test_every_plausible_answer_speaks_of_a_column_of_the_enquiry(maker):
    sheet = read_words("water dn100").sheet
    for purpose in ("question", "flip"):
        for answers in plausible(purpose).values():
            assert all(a.name in sheet for a in answers)
