"""The HTTP interface to enquiries and their items."""

from typing import Annotated, Any

from fastapi import APIRouter, Body, File, Form, Header, Response, UploadFile
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import StreamingResponse

from softseat.desk.api import ERRORS, VERSIONED, Here, Number, Who
from softseat.desk.cells import not_understood
from softseat.desk.intake import answer, take_in
from softseat.desk.problems import Problem
from softseat.desk.room import etag
from softseat.errors import InputError
from softseat.papers.record import lines, plain
from softseat.selection.item import Item
from softseat.store import enquiries

router = APIRouter(prefix="/api", responses=ERRORS)


@router.post("/enquiries", status_code=201, operation_id="take_in")
async def post_enquiry(
    room: Here, who: Who, response: Response, file: Annotated[UploadFile, File()], customer: Annotated[str, Form(max_length=200)] = ""
) -> dict[str, int]:
    """Take in a valve schedule: .xlsx, .xls, .ods, .csv, .tsv."""
    number = await run_in_threadpool(take_in, room, who, file.filename or "", await file.read(), customer)
    response.headers["location"] = f"/api/enquiries/{number}"
    return {"id": number}


@router.get("/enquiries", operation_id="list_enquiries")
def get_enquiries(room: Here) -> list[dict[str, Any]]:
    """All enquiries, the newest first."""
    return [
        {
            "id": b.id,
            "name": b.name,
            "customer": b.customer,
            "version": b.version,
            "made_at": b.made_at,
            "made_by": b.made_by,
            "revisions": b.revisions,
        }
        for b in enquiries.listed(room.db)
    ]


@router.get("/enquiries/{id}", operation_id="enquiry")
def get_enquiry(room: Here, id: Number) -> dict[str, Any]:
    """What was understood of the file: columns, what was skipped, cells not understood."""
    work = room.bench.work(id)
    return {
        "id": id,
        "name": work.name,
        "customer": work.customer,
        "version": work.version,
        "items": len(work.items),
        "columns": [plain(m) for m in work.read.mapping],
        "skipped": [list(s) for s in work.read.skipped],
        "notes": list(work.read.notes),
        "not_understood": [{"n": m.n + 1, "field": m.field, "text": m.text, "why": m.why} for m in not_understood(work.read)],
    }


@router.get("/enquiries/{id}/items", operation_id="items", response_class=StreamingResponse)
def get_items(room: Here, id: Number) -> StreamingResponse:
    """Every item, as in items.json."""
    work = room.bench.work(id)
    return StreamingResponse(lines(work.items), media_type="application/json", headers={"etag": f'"{work.version}"'})


@router.get("/enquiries/{id}/items/{n}", operation_id="item")
def get_item(room: Here, id: Number, n: Number, response: Response) -> dict[str, Any]:
    """One item; its ETag is what If-Match wants back."""
    work = room.bench.work(id)
    item = _nth(work.items, n)
    response.headers["etag"] = etag(work, n)
    return _json(item)


@router.patch("/enquiries/{id}/items/{n}", operation_id="change_item", responses=VERSIONED)
def patch_item(
    room: Here, who: Who, id: Number, n: Number, response: Response,
    fields: Annotated[dict[str, str | None], Body(max_length=100, examples=[{"flow": "800 m3/h", "liner": "EPDM"}])],
    if_match: Annotated[str | None, Header()] = None,
) -> dict[str, Any]:  # fmt: skip
    """Fields of one item as typed, with units; null empties a cell. Answers with the item as decided anew."""
    if if_match is None:
        raise Problem(428, "send the item's ETag as If-Match, so that nobody's change is lost")
    if not fields:
        raise InputError('no field was given; a body is an object such as {"flow": "800 m3/h"}')
    work = room.bench.work(id)
    _nth(work.items, n)
    place = work.place(n)
    seen = None if if_match.strip() == "*" else {place: _version(if_match)}
    if seen and seen[place] != work.versions[place]:
        raise Problem(412, f"item {n} was changed since you read it; nothing of yours was written")
    answer(room, who, id, [(n - 1, key, text or "") for key, text in fields.items()], seen)
    work = room.bench.work(id)
    response.headers["etag"] = etag(work, n)
    return _json(_nth(work.items, n))


def _nth(items: tuple[Item, ...], n: int) -> Item:
    if n > len(items):
        raise Problem(404, f"there is no item {n}; the enquiry has {len(items)}")
    return items[n - 1]


def _json(item: Item) -> dict[str, Any]:
    told: dict[str, Any] = plain(item)
    return told


def _version(text: str) -> int:
    try:
        return int(text.strip().removeprefix("W/").strip('"'))
    except ValueError:
        raise Problem(412, f"If-Match {text!r} is no ETag of this item") from None
