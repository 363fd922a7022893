"""All papers of an offer in one folder: all of them or none, and the same bytes from the same items."""

import os
import re
import shutil
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from softseat.errors import InputError, PaperError
from softseat.papers.calculation import calculations as calculation_sheet
from softseat.papers.datasheet import datasheets
from softseat.papers.drawing import arrangement_dxf
from softseat.papers.filename import file_name
from softseat.papers.fitting import fitting_cards
from softseat.papers.frame import Frame
from softseat.papers.groups import builds, pieces, tag_of, tags_of
from softseat.papers.letter import letter
from softseat.papers.offer import offer
from softseat.papers.order import Order
from softseat.papers.questions import questions
from softseat.papers.record import lines
from softseat.papers.returned import returned_workbook
from softseat.papers.testplan import test_plan
from softseat.papers.texts import text
from softseat.papers.typeset import Press
from softseat.papers.workbook import offer_workbook
from softseat.selection.item import Item

Progress = Callable[[str, int, int], None]
RECORD = "items.json"
BOOKS: Mapping[str, Callable[[Frame, Sequence[Item]], dict[str, Any]]] = {
    "questions": questions,
    "datasheets": datasheets,
    "test-plan": test_plan,
    "fitting-cards": fitting_cards,
}
VOLUMES = re.compile(rf"({'|'.join(BOOKS)})-\d+\.pdf")
PAPERS = ("offer", "questions", "datasheets", "test-plan", "fitting-cards", "drawings", "calculations", "workbook", "returned", "docx")
FILES = {RECORD, "offer.pdf", "offer.docx", "offer.xlsx", "returned.xlsx", "drawings", "calculations", *(f"{b}.pdf" for b in BOOKS)}
WORKBOOKS = (".xlsx", ".xlsm")
VOLUME = 250  # sheets: about 1 GiB while they are set


@dataclass(frozen=True, slots=True)
class _Job:
    """What every paper of one pack is made from."""

    folder: Path
    frame: Frame
    items: Sequence[Item]
    press: Press
    source: Path | None


def write_pack(
    items: Sequence[Item],
    out: Path,
    *,
    name: str,
    maker: Mapping[str, str],
    order: Order | None = None,
    papers: set[str] | None = None,
    page: str = "a4",
    source: Path | None = None,
    calculations: bool = False,
    progress: Progress | None = None,
) -> list[Path]:
    """Make the papers in a folder beside ``out`` and put it in place at the end.

    A folder that holds nothing but an earlier pack is replaced; in any other folder only files of the same name are.

    Raises
    ------
    InputError
        Where a paper or a page is not known, or ``out`` is a file.
    PaperError
        Where the place cannot be written, or a paper cannot be made.
    """
    wanted = _wanted(papers, calculations)
    frame, place = Frame(name, maker, order, page), Path(out).absolute()
    if place.exists() and not place.is_dir():
        raise InputError(f"{out} is a file; the papers need a folder")
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        folder = Path(tempfile.mkdtemp(prefix=f".{place.name[:40]}-", suffix=".part", dir=place.parent))
    except OSError as error:
        raise PaperError(f"{out}: no papers can be written there ({error.strerror}); name another folder") from None
    try:
        folder.chmod(0o755)
        with Press() as press:
            _make(_Job(folder, frame, items, press, source), wanted, progress)
        return _put(folder, place)
    except OSError as error:
        raise PaperError(f"{out}: the papers could not be written ({error.strerror or error}); nothing was changed there") from error
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _wanted(papers: set[str] | None, calculations: bool) -> list[str]:
    unknown = sorted(set(papers or ()) - set(PAPERS))
    if unknown:
        raise InputError(f"papers: {unknown[0]!r} is not known; allowed are {', '.join(PAPERS)}")
    if papers is None:
        return [p for p in PAPERS if p != "calculations" or calculations]
    return [p for p in PAPERS if p in papers or (p == "calculations" and calculations)]


def _make(job: _Job, wanted: Sequence[str], progress: Progress | None) -> None:
    """Every paper wanted, in a fixed order; the record is always written."""
    steps: dict[str, Callable[[], None]] = {RECORD: lambda: _record(job)}
    if "offer" in wanted or "docx" in wanted:
        steps["offer"] = lambda: _offer(job, wanted)
    for paper in wanted:
        if paper in BOOKS:
            steps[paper] = lambda paper=paper: _book(job, paper)  # type: ignore[misc]
    others = {"drawings": _drawings, "calculations": _calculations, "workbook": _workbook, "returned": _returned}
    steps |= {paper: lambda make=make: make(job) for paper, make in others.items() if paper in wanted}  # type: ignore[misc]
    for done, (paper, make) in enumerate(steps.items(), start=1):
        make()
        if progress is not None:
            progress(paper, done, len(steps))


def _record(job: _Job) -> None:
    with (job.folder / RECORD).open("w", encoding="utf-8", errors="replace", newline="\n") as file:
        file.writelines(lines(job.items))


def _offer(job: _Job, wanted: Sequence[str]) -> None:
    data = offer(job.frame, job.items)
    if "offer" in wanted:
        (job.folder / "offer.pdf").write_bytes(job.press.set("offer", data, len(job.items)))
    if "docx" in wanted:
        (job.folder / "offer.docx").write_bytes(letter(data))


def _book(job: _Job, paper: str) -> None:
    """One file; of a very long enquiry several, so that the memory stays bounded: datasheets.pdf, datasheets-2.pdf ..."""
    data = BOOKS[paper](job.frame, job.items)
    key = next((k for k in ("sheets", "cards") if k in data), "")
    cut = [data[key][k : k + VOLUME] for k in range(0, len(data[key]), VOLUME)] if key else []
    for n, part in enumerate(cut or [data.get(key, [])], start=1):
        told = {**data, key: part, "part": text("part", n=n, of=len(cut)) if len(cut) > 1 else ""}
        made = job.press.set(paper, told, len(part) if key else len(job.items))
        (job.folder / (f"{paper}-{n}.pdf" if n > 1 else f"{paper}.pdf")).write_bytes(made)


def _drawings(job: _Job) -> None:
    """One a distinct build, its tags in the title block."""
    found = builds(job.items)
    if found:
        (job.folder / "drawings").mkdir()
    taken: set[str] = set()
    for build, group in found:
        drawn = arrangement_dxf(group[0], maker=job.frame.maker, tags=tags_of(group), quantity=pieces(group))
        (job.folder / "drawings" / file_name(build, ".dxf", taken)).write_bytes(drawn)


def _calculations(job: _Job) -> None:
    """One a tag; the rows of a schedule that share a tag are told apart by a number."""
    traced = [i for i in job.items if i.steps]
    if traced:
        (job.folder / "calculations").mkdir()
    taken: set[str] = set()
    for item in traced:
        name = file_name(tag_of(item), ".pdf", taken)
        (job.folder / "calculations" / name).write_bytes(job.press.set("calculations", calculation_sheet(job.frame, item)))


def _workbook(job: _Job) -> None:
    offer_workbook(job.items, job.folder / "offer.xlsx", maker=job.frame.maker, order=job.frame.order, name=job.frame.name)


def _returned(job: _Job) -> None:
    """Only where the enquiry was a workbook that can be filled in place."""
    if job.source is not None and job.source.suffix.lower() in WORKBOOKS:
        returned_workbook(job.source, job.items, job.folder / "returned.xlsx")


def _put(folder: Path, place: Path) -> list[Path]:
    """The finished folder in its place, and the files that it now holds."""
    made = sorted(p.relative_to(folder) for p in folder.rglob("*") if p.is_file())
    if not place.exists():
        folder.rename(place)
    elif _is_pack(place):
        _swap(folder, place)
    else:
        for name in made:
            (place / name).parent.mkdir(exist_ok=True)
            os.replace(folder / name, place / name)
    return [place / name for name in made]


def _is_pack(place: Path) -> bool:
    """True for a folder that is empty or an earlier pack and nothing else: no file of the user is ever removed."""
    held = {p.name for p in place.iterdir()}
    return not held or (RECORD in held and all(n in FILES or VOLUMES.fullmatch(n) for n in held))


def _swap(folder: Path, place: Path) -> None:
    old = folder.with_name(f"{folder.name}-old")
    place.rename(old)
    try:
        folder.rename(place)
    except OSError:
        old.rename(place)
        raise
    shutil.rmtree(old, ignore_errors=True)
