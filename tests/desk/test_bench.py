"""The bench: what is taken over from the last time is what would be computed anew; work that is no longer wanted stops."""

from dataclasses import replace
from pathlib import Path

import pytest

from softseat.desk import intake
from softseat.desk.bench import Bench, Cancelled
from softseat.desk.clock import by
from softseat.desk.moved import unmoved
from softseat.desk.room import open_room
from softseat.store import enquiries, overrides

FILE = sorted((Path(__file__).parents[1] / "enquiry" / "enquiries").glob("*.csv"))[0]
EDITS = (
    [(9, "size", "DN300")],
    [(4, "disc", "CF8M"), (4, "operator", "gear")],
    [(3, "remarks", "oil-free"), (3, "cycles", "20 per day")],
    [(5, "flow+flow_max", "")],
)


@pytest.fixture
def room(tmp_path):
    opened = open_room(str(tmp_path / "desk.db"))
    yield opened
    opened.close()


def test_items_taken_over_are_those_that_would_be_computed(room):
    """Edit after edit: the bench that takes over and one that knows nothing say the same of every item."""
    number = intake.take_in(room, "Ann", FILE.name, FILE.read_bytes())
    taken_over = 0
    before = room.bench.work(number).items
    for wanted in EDITS:
        intake.answer(room, "Ann", number, list(wanted))
        now = room.bench.work(number).items
        fresh = Bench(room.db)
        assert now == fresh.work(number).items
        taken_over += sum(a is b for a, b in zip(before, now, strict=True))
        before = now
    assert taken_over > 2 * len(before), "most items are taken over"


def test_one_value_or_one_state_that_moves_moves_its_item_alone(room):
    one = room.bench.decided(intake.take_in(room, "Ann", FILE.name, FILE.read_bytes()))
    assert unmoved(one, one).all()
    torque = one.decision.offered["torque_required"].copy()
    torque[2, 7] += 1
    state = one.decision.asked.state["flow"].copy()
    state[9] = 3 - state[9]
    offered = replace(one.decision.offered, values={**one.decision.offered.values, "torque_required": torque})
    asked = replace(one.decision.asked, state={**one.decision.asked.state, "flow": state})
    moved = replace(one, decision=replace(one.decision, asked=asked, offered=offered))
    assert [int(n) for n in (~unmoved(one, moved)).nonzero()[0]] == [7, 9]


def test_a_decision_by_hand_is_seen_and_its_withdrawal_too(room):
    number = intake.take_in(room, "Ann", FILE.name, FILE.read_bytes())
    place = room.bench.work(number).place(2)
    before = room.bench.work(number).items
    made = overrides.override(room.db, by("Ann"), number, place, rule="R150", decision="offered", reason="made once before, drawing 17")
    after = room.bench.work(number).items
    said = [f for f in after[1].findings if "Overruled by Ann" in f.text]
    assert (said[0].severity, said[0].rule) == ("condition", "R150")
    assert "drawing 17" in said[0].text
    assert (before[1].offered, after[1].offered) == ("no", "if"), "a stop that somebody answers for is a condition"
    overrides.withdraw(room.db, by("Ann"), number, made)
    assert room.bench.work(number).items == before


def test_every_step_of_a_calculation_sheet_came_to_something(room):
    """A hub of which the maker tells no size is no step: its torque is a share of the rim's."""
    number = intake.take_in(room, "Ann", FILE.name, FILE.read_bytes())
    built = next(i for i in room.bench.explained(number).items if i.choice)
    steps = room.bench.traced(number, built.n).steps
    assert len(steps) > 5
    empty = [s["calculation"] for s in steps if not any(_told(v) for v in s["results"].values())]
    assert not empty


def _told(value):
    held = value["value"] if isinstance(value, dict) and "value" in value else value
    return held is not None and held != []


def test_work_that_is_stopped_leaves_nothing_half(room):
    number = intake.take_in(room, "Ann", FILE.name, FILE.read_bytes())

    def stop(what, done, total):
        if what == "explaining":
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        room.bench.work(number, stop)
    assert number not in room.bench.done
    assert len(room.bench.work(number).items) == 26
    assert enquiries.version_of(room.db, number) == 1
