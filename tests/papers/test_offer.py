"""The offer's content: who is named under what. Properties of the sample."""

from dataclasses import replace

import pytest

from softseat.papers.frame import Frame
from softseat.papers.groups import ranges
from softseat.papers.offer import offer
from softseat.selection.item import Finding


@pytest.fixture(scope="module")
def told(sample):
    return offer(Frame("x", sample.MAKER), sample.items())


def test_counts_of_both_verdicts(told, sample):
    counts = {word: (asked, offered) for word, asked, offered in told["counts"]}
    assert counts == {"yes": (5, 5), "if": (2, 3), "no": (3, 2), "ask": (2, 2)}
    assert told["lead"].startswith("12 items, 13 valves. 8 items can be offered, in 8 builds. 2 items wait for an answer, 2 items cannot")


def test_mass_is_that_of_the_pieces(told, sample):
    mass = sum(i.choice["mass"] * i.quantity for i in sample.items() if i.choice)
    assert told["totals"][-1] == ["Mass, about", f"{mass:.0f} kg"]


def test_a_rule_is_one_condition_with_each_sentence_for_its_items(told):
    (entry,) = told["conditions"]
    assert [s["which"] for s in entry["said"]] == ["item 2 (BV-1002A/B)", "item 3 (../../x)", "item 6 (ابج-1234)"]
    assert entry["count"] == 3


def test_a_refused_item_has_no_conditions(sample):
    item = sample.item(8)
    fired = Finding("R1", "condition", "both", "A condition of a refused item.")
    told = offer(Frame("x", sample.MAKER), [replace(item, findings=(*item.findings, fired))])
    assert told["conditions"] == []
    assert told["refused"][0]["family"] == "Look at: triple offset."
    assert told["refused"][0]["why"] == ["A metal seat stands the heat.", "Its own weak point: not bubble-tight."]


def test_a_reason_that_the_sentence_gives_is_not_given_twice(sample):
    item = replace(sample.item(8), sentence="Not offered: saturated steam at 148 °C is above 120 °C, the limit of EPDM.")
    assert offer(Frame("x", sample.MAKER), [item])["refused"][0]["reasons"] == []


def test_an_open_item_points_into_the_letter(told):
    first, second = told["open"]
    assert first["questions"] == "Can the line see a vacuum? In the letter of questions: 2–9."
    assert second["tag"] == "item 12, without tag"


@pytest.mark.parametrize(
    ("numbers", "said"),
    [([3, 4, 5, 9], "3–5, 9"), ([1, 2], "1, 2"), ([7, 7], "7"), ([], ""), (range(3, 41), "3–40"), ([5, 3, 4, 1], "1, 3–5")],
)
def test_ranges(numbers, said):
    assert ranges(numbers) == said


def test_many_gaps_are_cut():
    assert ranges(range(1, 201, 2)).endswith("45, 47 and 76 more")
