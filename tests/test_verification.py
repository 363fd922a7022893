"""Every published check value, recomputed on this machine."""

import pytest

from softseat.verification import agrees, verify

CHECKS = list(verify())


@pytest.mark.parametrize("check", CHECKS, ids=[f"{c.id}-{c.output}" for c in CHECKS])
def test_published(check):
    assert check.passed, f"{check.source}: {check.item}: {check.output} expected {check.expected}, got {check.got}"


def test_there_are_many_and_each_names_its_source():
    assert len(CHECKS) > 400
    assert all(c.source and c.certainty for c in CHECKS)
    assert len({c.calculation for c in CHECKS}) > 40


@pytest.mark.parametrize(
    ("got", "expected", "tolerance", "result"),
    [(1.01, 1.0, "abs:0.005", False), (1.004, 1.0, "abs:0.005", True), (101.0, 100.0, "rel:0.005", False), (None, 1.0, "abs:9", False),
     ("PN16", "pn16", "", True), (True, 1.0, "", True), (float("nan"), 1.0, "abs:9", False)],
)  # fmt: skip
def test_agreement_is_by_the_printed_digits(got, expected, tolerance, result):
    assert agrees(got, expected, tolerance) is result
