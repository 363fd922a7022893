"""The HTTP interface to works records: blank ones, each judged, and the papers of the valves that passed; nothing is kept."""

from typing import Annotated, Any

from fastapi import APIRouter, Response
from pydantic import BaseModel, ConfigDict, Field, model_validator

from softseat.desk import order as works
from softseat.desk.api import ERRORS, Here, Number
from softseat.desk.order import Works
from softseat.desk.packing import zipped
from softseat.desk.room import Room
from softseat.papers.record import plain
from softseat.works.certificate import KINDS
from softseat.works.kept import items_of

router = APIRouter(prefix="/api/works", responses=ERRORS)


class Issued(BaseModel):
    """What was ordered: a revision as issued, or the items of an ``items.json``."""

    model_config = ConfigDict(extra="forbid")
    enquiry: Number | None = None
    revision: Number | None = None
    items: list[dict[str, Any]] | None = Field(None, max_length=20_000)

    @model_validator(mode="after")
    def _one_of_both(self) -> "Issued":
        if (self.items is None) != (self.enquiry is not None and self.revision is not None):
            raise ValueError("wanted is enquiry and revision, or items, and not both")
        return self

    def order(self, room: Room) -> Works:
        """The items themselves."""
        if self.items is not None:
            return Works("order", items_of(self.items))
        return works.issued(room, int(self.enquiry or 0), int(self.revision or 0))


class Records(Issued):
    """The records of an order, as ``/api/works/blank`` gives them, filled in."""

    records: list[dict[str, Any]] = Field(max_length=5000)


class Wanted(Records):
    """The kind of certificate to EN 10204, and who signs it; without a name the inspector of the records."""

    kind: Annotated[str, Field(examples=list(KINDS), max_length=10)] = "3.1"
    signed: Annotated[str, Field(max_length=200)] = ""


@router.post("/blank", operation_id="blank_records")
def post_blank(room: Here, wanted: Issued) -> list[dict[str, Any]]:
    """One record to fill in for each piece, with the keys that its plan of tests asks for."""
    return works.blank(wanted.order(room))


@router.post("", operation_id="judge_records")
def post_works(room: Here, told: Records) -> dict[str, Any]:
    """Every valve with its tests: what was required, what was measured, whether it holds and why not; and what is still open."""
    order = told.order(room)
    found = works.judged(room, order, told.records)
    valves = [{"item": i.n, "passed": r.passed, **plain(r)} for i, r in found]
    return {"valves": valves, "open": works.still_open(order, found)}


@router.post("/papers", operation_id="works_papers", response_class=Response)
def post_papers(room: Here, wanted: Wanted) -> Response:
    """Certificate and labels (zip) of the valves that passed; where none did, the answer says why."""
    order = wanted.order(room)
    found = works.judged(room, order, wanted.records)
    made = works.papers(room, order, found, kind=wanted.kind, signed=wanted.signed)
    return Response(zipped(made), media_type="application/zip", headers={"content-disposition": 'attachment; filename="works.zip"'})
