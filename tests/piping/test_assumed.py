"""Which pipe is assumed, and where it is asked instead."""

import numpy as np
import pytest

from softseat.piping.assumed import assumed_pipe, named_bore
from softseat.piping.pipe import pipe_bore
from softseat.tables import read


@pytest.mark.parametrize(
    ("service", "rating", "dn", "pipe", "ask"),
    [
        ("Seawater intake pump discharge", "PN10", 900, "ASME B36.10M STD", True),
        ("Potable water, pumping main", "PN16", 400, "EN 545", False),
        ("HDPE outfall", "PN16", 200, "PE100 SDR 11", False),
        ("PE main", "PN10", 200, "PE100 SDR 17", False),
        ("chilled water", "Class 150", 300, "ASME B36.10M STD", False),
        ("instrument air", "PN16", 80, "EN 10255 medium", False),
        ("98 % acid", "Class 150", 80, "ASME B36.10M STD", True),
        ("wort", "PN10", 100, "EN 10357", False),
        ("something", "Table E", 200, "EN 10220 normal", False),
    ],
)
def test_common_practice(service, rating, dn, pipe, ask):
    found = assumed_pipe(service, rating, dn)
    assert (str(found.pipe), bool(found.ask)) == (pipe, ask)
    assert found.worst_bore <= found.bore


def test_the_specs_of_the_table_are_pipes_that_exist():
    for row in read("pipes_default"):
        for head in ("assumed", "worst"):
            for spec in row[head].split("|"):
                system, _, class_ = spec.partition("+")[0].partition(":")
                pipe_bore(system, "DN100", class_=class_)  # raises where there is none


@pytest.mark.parametrize("service", ["pepper tank", "pipe bridge"])
def test_a_word_inside_a_word_does_not_count(service):
    assert "PE100" not in str(assumed_pipe(service, "PN10", 100).pipe)


def test_the_worst_pipe_is_the_narrowest_of_its_row():
    # ASME B36.10M: XS is 12.7 mm; schedule 40 is thinner at NPS 14 (11.13 mm), thicker at NPS 18 (14.27 mm)
    worst = assumed_pipe("chilled water", "Class 150", [350, 450]).worst_pipe
    assert worst.tolist() == ["ASME B36.10M XS", "ASME B36.10M Sch 40"]


def test_arrays_and_a_size_that_no_table_has():
    found = assumed_pipe(["cooling water", "cooling water"], "Class 150", [200, 1150])
    assert np.isnan(found.bore).tolist() == [False, True]


def test_the_pipe_that_is_named():
    got = named_bore(
        ["steel", "pe", "ductile_iron", "", "pe", "steel"], ["sch 80", "SDR 17", "", "K9", "", "SDR 11"], [200, 200, 300, 200, 100, 100]
    )
    assert got[:4] == pytest.approx([0.1937, 0.1762, 0.3056, 0.2014])  # ASME B36.10M, d200 EN 12201-2, EN 545, ISO 2531
    assert np.isnan(got[4:]).all()
