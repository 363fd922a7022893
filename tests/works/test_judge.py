"""A record against its plan: what must fail fails, alone and by name; nothing is passed over."""

from dataclasses import replace

import numpy as np
import pytest

from softseat.errors import InputError
from softseat.tables import read
from softseat.works.judge import judge, judge_order, missing
from softseat.works.record import blank_record, read_records, wanted


def judged(items, maker, record, name="metal"):
    return judge(items[name], record, maker)


@pytest.mark.parametrize("name", ["metal", "coated"])
def test_a_record_with_everything_in_order_passes(items, maker, record, name):
    found = judged(items, maker, record(name), name)
    assert found.passed
    assert found.faults == ()


@pytest.mark.parametrize("name", ["metal", "coated"])
def test_each_test_that_the_plan_asks_of_each_valve_is_missed_when_it_is_left_out(items, maker, record, name):
    must = [row["key"] for line, row in wanted(items[name]) if line["extent"] == "each" and row["key"] != "rubber_age"]
    assert {"shell", "seat", "visual", "marking"} <= set(must)
    for key in must:
        less = record(name)
        del less[key]
        found = judged(items, maker, less, name)
        assert [r.key for r in found.faults] == [key]
        assert found.faults[0].text == "not measured"


def test_every_line_of_the_plan_made_on_each_valve_has_its_place_in_a_record():
    rows = read("works_tests")
    lines = [line for line in read("inspection_plan") if line["extent"] == "each"]
    assert len(lines) > 15
    for line in lines:
        assert any(r["stage"] == line["stage"] and line["characteristic"].startswith(r["plan"]) for r in rows), line["characteristic"]


CASES = {
    "serial": ("", "serial", "not named"),
    "liner_batch": ("", "liner_batch", "not named"),
    "heat": ({"body": "H 1", "disc": "H 2"}, "heat of shaft", "not named"),
    "build": ("W200-16-another", "build", "another build"),
    "gauges": ([{"id": "P-12", "due": "2026-10-31"}], "gauge", "ran out on 2026-10-31"),
    "shell": (
        {"pressure": "23.9 bar(g)", "time": "125 s", "leak": "none visible"},
        "shell",
        "23.9 bar(g) is under the test pressure 24 bar(g)",
    ),
    "seat": ({"pressure": "17.7 bar(g)", "time": "119 s", "leak": "none visible"}, "seat", "held 119 s of 120 s: cut short"),
    "hardness": ([70, 76], "hardness", "1 of 2 outside: 76 Shore A"),
    "disc_diameter": (["197.4 mm", "197.8 mm"], "disc_diameter", "197.8 mm"),
    "body_coat": (["300 um", "290 um", "195 um"], "body_coat", "lowest 195 um is below 200 um"),
    "torque_open": ("900 N m", "torque_open", "over"),
    "marking": ("none", "marking", "not in order"),
    "packing": ("", "packing", "not measured"),
    "visual": ("blister near the hub", "visual", "not in order"),
    "rubber_age": ("2016-10-31", "rubber_age", "over by 0.0 years"),
}


@pytest.mark.parametrize("key", CASES)
def test_one_wrong_value_fails_alone_and_is_said(items, maker, record, key):
    value, fails, said = CASES[key]
    found = judged(items, maker, record() | {key: value})
    assert not found.passed
    assert [r.key for r in found.faults] == [fails]
    assert said in found.faults[0].text


@pytest.mark.parametrize(
    ("leak", "passes"), [("none visible", True), ("", False), ("wet at the hub", False), ("0.4 ml/min", False), (0, True)]
)
def test_leak_of_a_seat_at_rate_a(items, maker, record, leak, passes):
    seat = {"pressure": "17.7 bar(g)", "time": "121 s", "leak": leak}
    assert judged(items, maker, record() | {"seat": seat}).passed is passes


def test_leak_limit_of_another_rate_is_a_number(items, maker, record):
    """Rate C of EN 12266-1 is 0.03 mm3/s a DN: at DN200 6 mm3/s, 0.36 ml/min."""
    item = replace(items["metal"], tests={**items["metal"].tests, "leak_limit": "6 mm3/s"})
    for leak, passes in (("0.35 ml/min", True), ("0.37 ml/min", False)):
        seat = {"pressure": "17.7 bar(g)", "time": "121 s", "leak": leak}
        assert judge(item, record() | {"seat": seat}, maker).passed is passes
    shell = {"pressure": "24.7 bar(g)", "time": "121 s", "leak": "0.35 ml/min"}
    assert not judge(item, record() | {"shell": shell}, maker).passed


def log_of(level, slope=0.0, seconds=130, noise=0.002):
    pressure = level + slope * np.arange(seconds + 1) + np.random.default_rng(4).normal(0, noise, seconds + 1)
    return "time [s],pressure [bar(g)]\n" + "\n".join(f"{t},{p:.4f}" for t, p in enumerate(pressure))


@pytest.mark.parametrize(
    ("log", "said"),
    [
        (log_of(24.2), ""),
        (log_of(24.2, seconds=100), "held 100 s of 120 s"),
        (log_of(23.8), "was not reached"),
        (log_of(24.9, -0.004), "over 0.24 bar"),
        (log_of(25.6, -0.0019, noise=0.35), "cannot be told"),
        (log_of(24.3, -0.0004), None),
    ],
)
def test_a_log_of_the_bench(items, maker, record, log, said):
    (shell,) = (r for r in judged(items, maker, record() | {"shell": {"log": log, "leak": "none visible"}}).results if r.key == "shell")
    assert shell.passed is (said in ("", None))
    if said is None:
        assert "little, but there" in shell.text
    else:
        assert said in shell.text


def test_a_sample_test_need_not_be_made_on_this_valve(items, maker, record):
    less = record()
    del less["torque_open"], less["face_to_face"]
    found = judged(items, maker, less)
    assert found.passed
    assert {r.key: r.text for r in found.results if r.passed is None} == {
        "torque_open": "not measured: by sample",
        "face_to_face": "not measured: by sample",
    }


def test_nothing_found_is_good_only_where_defects_are_looked_for(items, maker, record):
    assert judged(items, maker, record() | {"visual": "none found"}).passed
    assert not judged(items, maker, record() | {"marking": "none found"}).passed


def test_a_torque_without_a_figure_is_no_torque(items, maker, record):
    assert [r.key for r in judged(items, maker, record() | {"torque_open": {"torque": ""}}).faults] == ["torque_open"]
    coated = record("coated") | {"stroke_time": {"torque": ""}}
    assert "stroke_time" in [r.key for r in judged(items, maker, coated, "coated").faults]


def test_a_record_without_gauges_passes_and_says_so(items, maker, record):
    found = judged(items, maker, record() | {"gauges": []})
    assert found.passed
    assert [r.text for r in found.results if r.key == "gauge"] == ["no gauge is named: its calibration is not shown"]


def test_what_the_plan_does_not_ask_for_is_kept_and_said(items, maker, record):
    (extra,) = (r for r in judged(items, maker, record() | {"spark": "none"}).results if r.key == "spark")
    assert extra.passed is None
    assert "not judged" in extra.text


def test_coat_of_nothing_known_cannot_be_judged(items, record):
    found = judge(items["metal"], record(), None)
    assert {r.key for r in found.faults} == {"hardness", "body_coat"}


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"shel": {}}, "'shel' is not known"),
        ({"shell": "24 bar"}, "wanted is an object"),
        ({"shell": {"presure": "24 bar"}}, "'presure' is not known"),
        ({"hardness": ["hard"]}, "hardness"),
        ({"torque_open": "300 kg"}, "torque_open"),
        ({"shell": {"readings": {"time": [1, 2], "pressure": [3]}}}, "two lists of one length"),
        ({"rubber_age": "last spring"}, "cannot be read"),
    ],
)
def test_a_record_that_cannot_be_read_says_why(items, maker, record, change, told):
    with pytest.raises(InputError, match=told):
        judged(items, maker, record() | change)


def test_records_find_their_items_and_what_is_open_is_said(items, maker, record):
    pair = [replace(items["metal"], quantity=2), items["coated"]]
    found = judge_order(pair, [record("metal", "A1"), record("coated", "B1") | {"marking": "wrong DN"}], maker)
    assert [(i.n, r.serial) for i, r in found] == [(1, "A1"), (1, "B1")]
    assert missing(pair, found) == [
        "item 1 (): 1 of 2 pieces have no works record",
        " no. B1 does not pass: Marking against the order: not in order",
    ]
    with pytest.raises(InputError, match="stands in two records"):
        judge_order(pair, [record("metal", "A1"), record("coated", "A1")], maker)
    with pytest.raises(InputError, match="belongs to no item"):
        judge_order(pair, [record() | {"build": "X"}], maker)


def test_files_with_their_logs(tmp_path, items, maker, record):
    (tmp_path / "shell.csv").write_text(log_of(24.2), "utf-8")
    (tmp_path / "r.toml").write_text('[[valve]]\nserial = "A1"\nshell = {log = "shell.csv", leak = "none"}\n', "utf-8")
    (told,) = read_records(tmp_path / "r.toml")
    assert judged(items, maker, record() | told).passed
    (tmp_path / "r.json").write_text('{"serial": "A1", "shell": {"log": "gone.csv"}}', "utf-8")
    with pytest.raises(InputError, match=r"gone\.csv"):
        read_records(tmp_path / "r.json")
    (tmp_path / "bad.json").write_text("[1", "utf-8")
    with pytest.raises(InputError, match="cannot be read"):
        read_records(tmp_path / "bad.json")


def test_a_blank_record_holds_every_key_of_the_plan_and_does_not_pass(items, maker):
    blank = blank_record(items["coated"])
    assert {row["key"] for _, row in wanted(items["coated"])} <= set(blank)
    assert not judged(items, maker, blank, "coated").passed


def test_an_item_without_a_build_has_no_plan(items, maker, record):
    with pytest.raises(InputError, match="no test plan"):
        judge(replace(items["metal"], choice=None, offered="no"), record(), maker)
