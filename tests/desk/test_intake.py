"""Taking in: what a customer always means is applied; an item said on the phone is an item like any other."""

import pytest

from softseat.desk import intake
from softseat.desk.clock import by
from softseat.desk.room import open_room
from softseat.desk.schedule import Reading
from softseat.errors import InputError
from softseat.store import customers, enquiries
from softseat.store.records import Conflict

FILE = b"Tag,Fluid,Bore,Line press,Temp C,Seat\nT-1,water,DN100,4,20,EPDM\nT-2,compressed air,DN100,,20,EPDM\n"
BUYER = "Buyer, invented"


@pytest.fixture
def room(tmp_path):
    opened = open_room(str(tmp_path / "desk.db"))
    yield opened
    opened.close()


def test_a_column_chosen_once_is_chosen_for_the_next_enquiry_of_this_customer(room):
    number = intake.take_in(room, "Ann", "one.csv", FILE, BUYER)
    intake.choose_columns(room, "Ann", number, Reading({"Line press": "p_design"}, {"Line press": "psi(g)"}))
    assert room.bench.work(number).read.sheet["p_design"][0] == pytest.approx(4 * 6894.757 + 101325, rel=1e-6)  # psi, SP 811 table
    following = intake.take_in(room, "Ben", "two.csv", FILE, BUYER)
    assert room.bench.work(following).read.sheet["p_design"][0] == pytest.approx(4 * 6894.757 + 101325, rel=1e-6)
    other = intake.take_in(room, "Ben", "three.csv", FILE, "Another, invented")
    assert room.bench.work(other).schedule.reading.columns == {}


def test_standing_answers_fill_what_is_empty_and_nothing_else(room):
    customers.remember(room.db, by("Ann"), BUYER, "answers", {"p1": "7 barg", "oil": "0 ppm", "liner": "NBR"})
    work = room.bench.work(intake.take_in(room, "Ann", "one.csv", FILE, BUYER))
    assert list(work.read.sheet["oil"]) == [0, 0]
    assert list(work.read.sheet["liner"]) == ["EPDM", "EPDM"]
    assert work.read.sheet["p1"][1] == pytest.approx(801325)
    assert work.read.sheet["p1"][0] == pytest.approx(501325)


def test_an_item_by_phone_is_an_item(room):
    number = intake.say(room, "Ann", "sea water dn300 760 m3/h 6 bar 40C wafer lever")
    intake.say(room, "Ann", "2 off compressed air dn100 7 bar 30C electric on-off", number)
    work = room.bench.work(number)
    direct = room.bench.phone("sea water dn300 760 m3/h 6 bar 40C wafer lever")[1]
    assert [i.sheet for i in work.items] == ["by phone", "by phone"]
    assert work.items[0].choice["build"] == direct.choice["build"]
    assert (work.items[0].offered, work.items[0].as_asked) == (direct.offered, direct.as_asked)
    assert work.items[1].quantity == 2
    into = intake.take_in(room, "Ann", "one.csv", FILE)
    intake.say(room, "Ann", "water dn80 3 bar 20C lever", into)
    assert [i.tag for i in room.bench.work(into).items] == ["T-1", "T-2", ""]


def test_the_quick_answer_is_the_answer_of_the_whole(room):
    """One row decided on its own is what the whole says of it, where no other row speaks of it."""
    number = intake.take_in(room, "Ann", "one.csv", FILE)
    before = room.bench.work(number)
    places = intake.answer(room, "Ann", number, [(0, "size", "DN150")])
    quick = room.bench.quick(number, places)[before.place(1)]
    whole = room.bench.work(number).items[0]
    assert quick.choice == whole.choice
    assert quick.findings == whole.findings
    assert whole.choice["size"] == "DN150"


def test_too_many_cells_at_one_stroke_and_items_that_are_not(room):
    number = intake.take_in(room, "Ann", "one.csv", FILE)
    with pytest.raises(InputError, match="10000"):
        intake.answer(room, "Ann", number, [(0, "size", "DN100")] * 10_001)
    with pytest.raises(InputError, match="no item 3"):
        intake.answer(room, "Ann", number, [(2, "size", "DN100")])


def test_a_row_seen_too_long_ago_is_a_conflict(room):
    number = intake.take_in(room, "Ann", "one.csv", FILE)
    place = room.bench.work(number).place(1)
    intake.answer(room, "Ben", number, [(0, "size", "DN150")])
    with pytest.raises(Conflict, match="Ben"):
        intake.answer(room, "Ann", number, [(0, "size", "DN125")], {place: 1})
    assert room.bench.work(number).items[0].asked["size"] == "DN150"


def test_nothing_is_kept_of_a_file_without_a_table(room):
    with pytest.raises(InputError):
        intake.take_in(room, "Ann", "x.csv", b"dear sirs,\nplease quote, thank you\n")
    assert enquiries.listed(room.db) == []
