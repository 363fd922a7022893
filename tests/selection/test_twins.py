"""Twins: each rule with the smallest item that just fires it, and one that just does not."""

import importlib.util
from pathlib import Path

import pytest

import softseat.selection.judge  # noqa: F401 (enters the rules)
from softseat import tables
from softseat.register import HOLDS, RULES
from softseat.selection.limits import limits_of

SPEC = importlib.util.spec_from_file_location("twins", Path(__file__).with_name("twins.py"))
T = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(T)
ALONE = {"R003", "R005", "R006", "R063"}  # they look at the neighbours
TWINS = T.twins()
IDS = [f"{t['rule']}-{n}" for n, t in enumerate(TWINS)]


@pytest.fixture(scope="module")
def batch(tmp_path_factory):
    """Every side of every pair in one enquiry, each item under its own tag."""
    sides, places = [], {}
    for n, twin in enumerate(TWINS):
        if twin["rule"] in ALONE:
            continue
        for side in ("fires", "does_not"):
            (given, derived), *_ = T.items(twin[side])
            places[n, side] = len(sides)
            sides.append(({"tag": f"X-{len(sides) + 1000}", **given}, derived))
    sheet = T.asked_sheet(sides, tmp_path_factory.mktemp("twins"))
    return sheet, places, sides


def _answer(sheet, rule, n, derived):
    one = sheet.item(n)
    for name, text in derived.items():
        one = T.put(one, 0, name, text)
    one = T.completed(one, derived)
    return RULES[rule].judge(one, limits_of(rule))[0]


@pytest.mark.parametrize(("n", "twin"), list(enumerate(TWINS)), ids=IDS)
def test_twins(n, twin, batch, tmp_path):
    sheet, places, sides = batch
    rule = twin["rule"]
    answers = {}
    for side in ("fires", "does_not"):
        if rule in ALONE:
            pair = T.items(twin[side])
            small = T.asked_sheet([({"tag": f"X-{k}", **given}, {}) for k, (given, _) in enumerate(pair)], tmp_path)
            answers[side] = max(int(_answer(small, rule, k, {})) for k in range(len(pair)))
        else:
            place = places[n, side]
            answers[side] = int(_answer(sheet, rule, place, sides[place][1]))
    assert answers["fires"] == HOLDS, f"{rule} does not fire on: {twin['fires']}"
    assert answers["does_not"] != HOLDS, f"{rule} fires on: {twin['does_not']}"


def test_every_rule_of_the_table_has_a_predicate_and_twins():
    table = {row["id"] for row in tables.read("rules")}
    assert table == set(RULES)
    assert table == {t["rule"] for t in TWINS}
