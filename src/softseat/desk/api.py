"""The HTTP interface: enquiries, their items and papers, any calculation, one item from words."""

from collections.abc import Callable, Mapping
from pathlib import PurePosixPath
from typing import Annotated, Any

from fastapi import APIRouter, Body, Depends, File, Form, Header, Request, Response, UploadFile
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import FileResponse, StreamingResponse
from pydantic import BaseModel, ConfigDict, Field

from softseat.calculator import calculations, run
from softseat.desk.intake import answer, take_in
from softseat.desk.packing import PACK
from softseat.desk.problems import Problem
from softseat.desk.room import Room, etag, exists
from softseat.errors import InputError
from softseat.papers.order import Order
from softseat.papers.record import lines, plain
from softseat.selection.item import Item
from softseat.store import enquiries

KINDS = {
    ".json": "application/json", ".pdf": "application/pdf", ".zip": "application/zip", ".dxf": "image/vnd.dxf",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ".docx": "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
}  # fmt: skip
PROBLEM: dict[str, Any] = {"description": "What is wrong, and what is allowed", "content": {"application/problem+json": {}}}
ERRORS: dict[int | str, dict[str, Any]] = {k: PROBLEM for k in (400, 401, 403, 404, 409, 413, 422, 503)}
VERSIONED = {**ERRORS, 412: PROBLEM, 428: PROBLEM}
router = APIRouter(prefix="/api", responses=ERRORS)


def _room(request: Request) -> Room:
    room: Room = request.app.state.room
    return room


def _who(request: Request) -> str:
    return str(request.state.person.name)


Here = Annotated[Room, Depends(_room)]
Who = Annotated[str, Depends(_who)]
Number = Annotated[int, Field(ge=1, le=2**31 - 1)]


class Words(BaseModel):
    """Free words, as said on the telephone."""

    model_config = ConfigDict(extra="forbid")
    words: str = Field(max_length=2000, examples=["sea water dn300 760 m3/h 6 bar 40C wafer lever"])


class Wanted(BaseModel):
    """Which papers; none named: all but the calculation sheets."""

    model_config = ConfigDict(extra="forbid")
    papers: list[str] | None = Field(None, max_length=20)
    page: str = Field("a4", pattern="^(a4|letter)$")
    calculations: bool = False
    order: dict[str, str] = Field(default_factory=dict, max_length=10)


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
    from softseat.desk.cells import not_understood

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


@router.post("/enquiries/{id}/papers", status_code=201, operation_id="make_papers")
def post_papers(room: Here, id: Number, wanted: Wanted | None = None) -> dict[str, Any]:
    """Make the papers of the enquiry as it stands."""
    wanted = wanted or Wanted()  # type: ignore[call-arg]
    try:
        order = Order(**wanted.order) if wanted.order else None
    except TypeError:
        raise InputError(f"order: allowed are {', '.join(Order.__dataclass_fields__)}") from None
    papers = set(wanted.papers) if wanted.papers is not None else None
    pack = room.papers(id, papers=papers, page=wanted.page, order=order, calculations=wanted.calculations)
    return {"version": pack.version, "papers": [*pack.files, PACK], "at": f"/api/enquiries/{id}/papers/"}


@router.get("/enquiries/{id}/papers/{name:path}", operation_id="paper", response_class=Response)
def get_paper(room: Here, id: Number, name: str) -> Response:
    """One paper by its file name, or all as pack.zip."""
    exists(room, id)
    pack = room.packs.get(id)
    if pack is None:
        raise Problem(404, f"no papers of enquiry {id} are made; POST to /api/enquiries/{id}/papers first")
    headers = {"x-enquiry-version": str(pack.version)}
    if name == PACK:
        return Response(
            pack.zipped(), media_type=KINDS[".zip"], headers={**headers, "content-disposition": f'attachment; filename="enquiry-{id}.zip"'}
        )
    path = pack.path(name)
    if path is None:
        raise Problem(404, f"there is no paper {name!r}; there are {', '.join(pack.files)}, {PACK}")
    return FileResponse(path, media_type=KINDS.get(PurePosixPath(name).suffix, "application/octet-stream"), headers=headers)


@router.post("/calc/{name}", operation_id="calculate")
def post_calc(name: str, inputs: Annotated[dict[str, Any], Body(examples=[{"bore": 0.3, "k": 0.5}])]) -> dict[str, Any]:
    """Any calculation: numbers in SI or texts with units; `/api/calc` lists them."""
    return run(name, inputs)


@router.get("/calc", operation_id="calculations")
def get_calcs() -> list[dict[str, Any]]:
    """Every calculation: inputs, outputs, units, source, an example."""
    told: Callable[[Any], Mapping[str, Any]] = lambda e: {"name": e.name, "unit": e.unit, "optional": e.optional, "text": e.text}  # noqa: E731
    return [
        {"name": c.name, "title": c.title, "source": c.source, "formula": c.formula, "inputs": [told(e) for e in c.inputs],
         "outputs": [told(e) for e in c.outputs], "example": dict(c.example)}
        for c in calculations().values()
    ]  # fmt: skip


@router.post("/item", operation_id="phone")
def post_item(room: Here, said: Words) -> dict[str, Any]:
    """One item from free words; nothing is kept."""
    return _json(room.bench.phone(said.words)[1])


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
