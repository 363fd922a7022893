"""Taking an enquiry in: the file is kept, its rows can be edited, the customer's habits are applied."""

from dataclasses import replace

from softseat.desk import schedule as schedules
from softseat.desk.cells import answers, by_phone
from softseat.desk.clock import by
from softseat.desk.room import Room
from softseat.desk.schedule import PHONE, Reading, Schedule
from softseat.enquiry.words import read_words
from softseat.errors import InputError
from softseat.sheet import MISSING
from softseat.store import customers, enquiries
from softseat.store.records import Edit

MOST_CELLS = 10_000  # changed at one stroke


def take_in(room: Room, who: str, name: str, data: bytes, customer: str = "") -> int:
    """Keep a file as a new enquiry; nothing is kept of one that cannot be read."""
    opened = schedules.opened(name, data)
    habits = customers.remembered(room.db, customer) if customer else {"columns": {}, "units": {}, "answers": {}}
    opened = replace(opened, reading=Reading(habits["columns"], habits["units"]))
    read = schedules.read(opened)
    number = enquiries.add(
        room.db, by(who), name=opened.name, customer=customer, source_name=name, source=data, layout=opened.layout,
        reading=opened.reading.plain(), rows=opened.rows.items(),
    )  # fmt: skip
    standing = [
        (int(n), key, text)
        for key, text in habits["answers"].items()
        if key in read.sheet
        for n in (read.sheet.state[key] == MISSING).nonzero()[0]
    ]
    if standing:
        answer(room, f"standing answers of {customer}", number, standing)
    return number


def answer(
    room: Room, who: str, number: int, wanted: list[tuple[int, str, str]], seen: dict[tuple[str, int], int] | None = None
) -> list[tuple[str, int]]:
    """Items (counted from 0) say this from now on; the rows that were written."""
    if not wanted:
        return []
    if len(wanted) > MOST_CELLS:
        raise InputError(f"{len(wanted)} cells at one stroke; allowed are {MOST_CELLS}")
    kept = enquiries.get(room.db, number)
    schedule = Schedule(kept.name, kept.layout, kept.rows, Reading(**kept.reading))
    read = room.bench.read_at(number, kept.version) or schedules.read(schedule)
    for n, _, _ in wanted:
        if not 0 <= n < len(read.rows):
            raise InputError(f"there is no item {n + 1}; the enquiry has {len(read.rows)}")
    edits, added = answers(schedule, read, wanted)
    if added:
        _chosen(room, who, number, added)
    enquiries.change(room.db, by(who), number, edits, seen)
    return sorted({(e.sheet, e.row) for e in edits})


def _chosen(room: Room, who: str, number: int, added: dict[str, str]) -> None:
    kept = enquiries.get(room.db, number)
    reading = Reading(**kept.reading)
    enquiries.reread(room.db, by(who), number, replace(reading, columns={**reading.columns, **added}).plain(), kept.version)


def choose_columns(room: Room, who: str, number: int, reading: Reading, *, remember: bool = True) -> None:
    """Another understanding of the columns; kept for the customer too, where one is named."""
    kept = enquiries.get(room.db, number)
    before = Reading(**kept.reading)
    schedules.read(Schedule(kept.name, kept.layout, kept.rows, reading))
    enquiries.reread(room.db, by(who), number, reading.plain(), kept.version)
    if kept.customer and remember:
        for kind, new, old in (("columns", reading.columns, before.columns), ("units", reading.units, before.units)):
            moved = {k: new.get(k, "") for k in {**new, **old} if new.get(k) != old.get(k)}
            if moved:
                customers.remember(room.db, by(who), kept.customer, kind, moved)


def say(room: Room, who: str, words: str, number: int | None = None) -> int:
    """An item said on the phone becomes an item: of this enquiry, else of a new one."""
    said = read_words(words)
    if number is None:
        empty = Schedule("phone enquiry", {"sheets": []}, {})
        layout, rows, headings = by_phone(empty, said, said)
        return enquiries.add(
            room.db,
            by(who),
            name=words[:60],
            source_name="",
            source=words.encode(),
            layout=layout,
            reading=Reading(headings).plain(),
            rows=rows,
        )
    kept = enquiries.get(room.db, number)
    schedule = Schedule(kept.name, kept.layout, kept.rows, Reading(**kept.reading))
    layout, rows, headings = by_phone(schedule, said, said)
    reading = replace(schedule.reading, columns={**schedule.reading.columns, **headings})
    enquiries.reread(room.db, by(who), number, reading.plain(), kept.version)
    enquiries.extend(room.db, by(who), number, layout, rows)
    return number


def write(room: Room, who: str, number: int, edits: list[Edit], seen: dict[tuple[str, int], int] | None = None) -> None:
    """Cells as typed, wherever they stand."""
    if not edits:
        raise InputError("no cell was given")
    if any(e.sheet == PHONE and e.row == 1 for e in edits):
        raise InputError("the headings of the phone sheet are not edited")
    enquiries.change(room.db, by(who), number, edits, seen)
