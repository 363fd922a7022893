"""The builds compared, and the plan whose lines say for which builds they are. Properties."""

from dataclasses import replace

from softseat.papers.frame import Frame
from softseat.papers.ladder import ladder
from softseat.papers.testplan import test_plan as plan_of
from softseat.selection.item import Rung


def test_one_entry_a_part():
    held = [
        Rung("liner: EPDM", "EPDM", True, {"torque": 1.5, "none": float("nan")}),
        Rung("liner: NBR", "NBR", False, {}, "would do"),
        Rung("liner: NR", "natural", False, {}, "would do"),
        Rung("liner: VMQ", "VMQ", False, {}, "too weak (R1)"),
        Rung("disc: CF8M", "CF8M", False, {}, "pits"),
    ]
    liner, disc = ladder(held)
    assert (liner["part"], liner["name"], liner["chosen"]) == ("Liner", "EPDM", True)
    assert liner["margins"] == [["Torque", "1.5", 0.5]]
    assert liner["why"] == ["NBR, NR, natural: would do", "VMQ: too weak (R1)"]
    assert (disc["name"], disc["chosen"], disc["why"]) == ("none", False, ["CF8M: pits"])


def test_whole_builds_stand_alone(sample):
    entries = ladder(sample.LADDER)
    assert [e["chosen"] for e in entries] == [False, True, False]
    assert entries[2]["name"] == "W150-16-EP-1, DN150, gear"
    assert entries[2]["why"] == ["Kv too small at the highest flow."]
    assert entries[2]["margins"][0][2] == 1.0  # 3.1 times enough ends the bar


def with_plan(item, *said):
    return replace(item, tests={**item.tests, "plan": [{"characteristic": s} for s in said]})


def test_a_line_that_all_builds_share_stands_once_and_the_order_holds(sample):
    items = [with_plan(sample.item(0), "a", "b 10 bar", "c"), with_plan(sample.item(1), "a", "b 16 bar", "x", "c")]
    told = plan_of(Frame("x", sample.MAKER), items)
    lines = [(line["characteristic"], line["builds"]) for line in told["lines"]]
    assert lines == [("a", "all"), ("b 16 bar", "2"), ("x", "2"), ("b 10 bar", "1"), ("c", "all")]
    assert [row[:2] for row in told["pressures"]["rows"]] == [["1", "W150-16-EP-0"], ["2", "W200-16-EP-1"]]


def test_what_is_not_sure_stands_under_the_table(sample):
    items = [replace(sample.item(n), tests={**sample.TESTS, "remark": "not seen", "certainty": "low"}) for n in (0, 1, 2)]
    told = plan_of(Frame("x", sample.MAKER), items)
    assert told["pressures"]["notes"] == ["Builds 1–3: Remark: not seen; How sure: low"]
    assert told["pressures"]["heads"] == ["Standard", "Shell test", "Seat test", "Shell test time", "Seat test time"]
