"""The HTTP interface to what goes out: papers, revisions as issued, comparisons; and to decisions by hand."""

from pathlib import PurePosixPath
from typing import Any

from fastapi import APIRouter, Response
from fastapi.responses import FileResponse
from pydantic import BaseModel, ConfigDict, Field

from softseat.desk.api import ERRORS, Here, Number, Who
from softseat.desk.clock import by
from softseat.desk.packing import PACK
from softseat.desk.problems import Problem
from softseat.desk.room import exists
from softseat.errors import InputError
from softseat.papers.compare import compare
from softseat.papers.order import Order
from softseat.papers.record import plain
from softseat.store import overrides, revisions

KINDS = {
    ".json": "application/json", ".pdf": "application/pdf", ".zip": "application/zip", ".dxf": "image/vnd.dxf",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ".docx": "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
}  # fmt: skip
router = APIRouter(prefix="/api/enquiries/{id}", responses=ERRORS)


class Wanted(BaseModel):
    """Which papers; none named: all but the calculation sheets."""

    model_config = ConfigDict(extra="forbid")
    papers: list[str] | None = Field(None, max_length=20)
    page: str = Field("a4", pattern="^(a4|letter)$")
    calculations: bool = False
    order: dict[str, str] = Field(default_factory=dict, max_length=10)


class Issue(BaseModel):
    """What a revision is for, and the frame of its letter."""

    model_config = ConfigDict(extra="forbid")
    note: str = Field("", max_length=500)
    order: dict[str, str] = Field(default_factory=dict, max_length=10)


class Decision(BaseModel):
    """What is offered against a finding, and why; entered under the name of who sends it."""

    model_config = ConfigDict(extra="forbid")
    rule: str = Field("", max_length=20)
    decision: str = Field(max_length=500)
    reason: str = Field(max_length=2000)


@router.post("/papers", status_code=201, operation_id="make_papers")
def post_papers(room: Here, id: Number, wanted: Wanted | None = None) -> dict[str, Any]:
    """Make the papers of the enquiry as it stands."""
    wanted = wanted or Wanted()  # type: ignore[call-arg]
    order = _order(wanted.order)
    papers = set(wanted.papers) if wanted.papers is not None else None
    pack = room.papers(id, papers=papers, page=wanted.page, order=order, calculations=wanted.calculations)
    return {"version": pack.version, "papers": [*pack.files, PACK], "at": f"/api/enquiries/{id}/papers/"}


@router.get("/papers/{name:path}", operation_id="paper", response_class=Response)
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


@router.post("/revisions", status_code=201, operation_id="issue")
def post_revision(room: Here, who: Who, id: Number, wanted: Issue | None = None) -> dict[str, Any]:
    """Issue the enquiry as it stands: items and papers are kept and never changed."""
    wanted = wanted or Issue()  # type: ignore[call-arg]
    told: dict[str, Any] = plain(room.issue(id, who, wanted.note, _order(wanted.order)))
    return told


@router.get("/revisions", operation_id="revisions")
def get_revisions(room: Here, id: Number) -> list[dict[str, Any]]:
    """Revisions of the enquiry, the newest first."""
    exists(room, id)
    return [plain(r) for r in revisions.listed(room.db, id)]


@router.get("/revisions/{number}/pack.zip", operation_id="revision_pack", response_class=Response)
def get_revision_pack(room: Here, id: Number, number: Number) -> Response:
    """All papers of a revision, byte by byte as issued."""
    name = f"enquiry-{id}-revision-{number}.zip"
    return Response(
        revisions.pack(room.db, id, number), media_type=KINDS[".zip"], headers={"content-disposition": f'attachment; filename="{name}"'}
    )


@router.get("/compare", operation_id="compare")
def get_comparison(room: Here, id: Number, a: Number, b: Number | None = None) -> dict[str, Any]:
    """Two revisions; without ``b`` the enquiry as it stands."""
    later = revisions.items(room.db, id, b) if b is not None else room.bench.work(id).items
    told: dict[str, Any] = plain(compare(revisions.items(room.db, id, a), later))
    return told


@router.post("/items/{n}/overrides", status_code=201, operation_id="override")
def post_override(room: Here, who: Who, id: Number, n: Number, said: Decision) -> dict[str, int]:
    """Decide against a finding, with name and reason; printed on every paper."""
    work = room.bench.work(id)
    if n > len(work.items):
        raise Problem(404, f"there is no item {n}; the enquiry has {len(work.items)}")
    made = overrides.override(room.db, by(who), id, work.place(n), rule=said.rule, decision=said.decision, reason=said.reason)
    return {"id": made}


def _order(told: dict[str, str]) -> Order | None:
    try:
        return Order(**told) if told else None
    except TypeError:
        raise InputError(f"order: allowed are {', '.join(Order.__dataclass_fields__)}") from None
