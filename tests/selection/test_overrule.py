"""A stop that an engineer answers for: it becomes a condition with his name, and the paper says so."""

import pytest

from softseat.enquiry.words import read_words
from softseat.errors import InputError
from softseat.job import explained
from softseat.maker.package import load
from softseat.selection.overrule import Override, overrides


def test_an_overruled_stop_is_a_condition_with_a_name():
    read = read_words("petrol dn100 4 bar 20 C nbr gear")
    before = explained(read, load())[0]
    assert before.offered == "no"
    stops = [f.rule for f in before.findings if f.severity == "stop" and f.applies_to != "asked"]
    after = explained(read, load(), told=[Override(1, r, "second valve and blind are in the line", "A. Engineer") for r in stops])[0]
    assert after.offered == "if"
    assert any("Overruled by A. Engineer (second valve" in f.text and f.severity == "condition" for f in after.findings)
    assert after.as_asked == before.as_asked


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"n": 1, "rule": "R999", "reason": "x", "by": "y"}, "R999"),
        ({"n": 1, "rule": "R025", "reason": "x", "by": "y"}, "no stop"),
        ({"n": 1, "rule": "R169", "reason": " ", "by": "y"}, "reason"),
        ({"rule": "R169", "reason": "x", "by": "y"}, "number of the item"),
    ],
)
def test_an_override_needs_a_stop_a_reason_and_a_name(row, words):
    with pytest.raises(InputError, match=words):
        overrides([row])
