"""An order at the works: its items as issued, the records to fill in, each judged, and the papers of the valves that passed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from softseat.desk.room import Room
from softseat.errors import InputError, PaperError
from softseat.papers.certificate import certificate_pdf, labels_pdf
from softseat.papers.frame import Frame
from softseat.papers.order import Order
from softseat.selection.item import Item
from softseat.selection.weighed import maker_words
from softseat.store import enquiries, revisions
from softseat.works.certificate import certificate_content, nameplate
from softseat.works.judge import judge_order, missing
from softseat.works.kept import items_of
from softseat.works.record import WorksRecord, blank_record, wanted

Record = Mapping[str, Any]
Pairs = Sequence[tuple[Item, WorksRecord]]
MOST_PIECES = 2000  # blank records at one time


@dataclass(frozen=True, slots=True)
class Works:
    """The name of an order and its items as they were issued."""

    name: str
    items: tuple[Item, ...]

    @property
    def planned(self) -> tuple[Item, ...]:
        """Items that are built, and so have a plan of tests."""
        return tuple(i for i in self.items if i.choice and i.tests.get("plan"))


def issued(room: Room, number: int, revision: int) -> Works:
    """What was issued: not the enquiry as it stands, which may have moved on."""
    kept = enquiries.get(room.db, number)
    return Works(f"{kept.name}, revision {revision}", items_of(revisions.items(room.db, number, revision)))


def blank(order: Works) -> list[dict[str, Any]]:
    """One record to fill in for each piece, with the keys that its plan asks for."""
    pieces = sum(i.quantity for i in order.planned)
    if pieces > MOST_PIECES:
        raise InputError(f"{pieces} pieces: blank records are written for {MOST_PIECES} at most; take some items of the order")
    return [{**blank_record(i), "tag": i.tag} for i in order.planned for _ in range(i.quantity)]


def judged(room: Room, order: Works, records: Sequence[Record]) -> list[tuple[Item, WorksRecord]]:
    """Each record with its item, every test judged."""
    return judge_order(order.planned, records, room.bench.maker())


def still_open(order: Works, found: Pairs) -> list[str]:
    """Pieces without a record, and valves that do not pass, with why."""
    return missing(order.planned, found)


def papers(room: Room, order: Works, found: Pairs, *, kind: str = "3.1", signed: str = "", frame: Order | None = None) -> dict[str, bytes]:
    """Certificate and labels of the valves that passed.

    Raises
    ------
    InputError
        Where none passed, or this kind of certificate cannot be written from these records: says why.
    """
    good = [(i, r) for i, r in found if r.passed]
    if not good:
        why = ". ".join(missing((), found)[:5]) or "No record was given"
        raise InputError(f"no certificate and no label: no valve has passed. {why}.")
    maker = room.bench.maker()
    around = Frame(order.name, maker_words(maker), frame)
    try:
        content = certificate_content(good, kind, signed)
        plates = [nameplate(i, r, maker.name) for i, r in good]
    except PaperError as error:
        raise InputError(str(error)) from None
    return {"certificate.pdf": certificate_pdf(around, content), "labels.pdf": labels_pdf(around, plates)}


def limits(room: Room, item: Item) -> dict[str, str]:
    """What each test of this valve has to hold, in words: told by the judge itself, of a record in which all is measured."""
    made = {"hold": {}, "readings": [1], "coat": [1], "most": 1, "seen": "ok", "age": "2000-01-01"}
    record = {"date": "2000-01-01", **{row["key"]: made[row["kind"]] for _, row in wanted(item)}}
    ((_, told),) = judge_order((item,), [{**record, "tag": item.tag, "build": (item.choice or {})["build"]}], room.bench.maker())
    return {r.key: r.required for r in told.results}
