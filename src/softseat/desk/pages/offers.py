"""What goes out: papers made, looked at and taken away; revisions issued and compared."""

from typing import Any

from fastapi import Request
from nicegui import ui

from softseat.desk.marks import scroll, text, verdict_sign
from softseat.desk.packing import PACK, Pack
from softseat.desk.pages.frame import Here, heard, here, html, page, tell, work
from softseat.desk.pages.progress import Bar
from softseat.papers.compare import Change, Comparison, compare
from softseat.papers.order import Order
from softseat.store import audit, enquiries, revisions

LETTER = (
    ("buyer", "Buyer"),
    ("reference", "Reference"),
    ("revision", "Revision"),
    ("date", "Date"),
    ("validity", "Valid"),
    ("prepared_by", "Prepared by"),
)
ISSUED = "<thead><tr><th>No.</th><th>For</th><th>Issued</th><th>Rests on</th><th>Papers</th></tr></thead>"
SEEN = (".pdf", ".json")
NOW = 0  # in the choice of revisions: the enquiry as it stands


def lay() -> None:
    """Register the pages."""

    @ui.page("/enquiry/{number}/papers", response_timeout=20)
    def papers(request: Request, number: int) -> None:
        at = here(request)
        kept = enquiries.get(at.room.db, number)
        with page(at, ((kept.name, f"/enquiry/{number}"), ("papers", ""))):
            _papers(at, number, kept.version)

    @ui.page("/enquiry/{number}/revisions", response_timeout=20)
    def issued(request: Request, number: int) -> None:
        at = here(request)
        kept = enquiries.get(at.room.db, number)
        with page(at, ((kept.name, f"/enquiry/{number}"), ("revisions", ""))):
            _revisions(at, number)


def _frame() -> dict[str, ui.input]:
    """Who asked, under what reference, when: printed at the head of every paper; without it the papers carry no date."""
    with ui.element("div").classes("bar"):
        return {key: ui.input(said).props("outlined dense").style("width: 11rem") for key, said in LETTER}


def _order(told: dict[str, ui.input]) -> Order | None:
    said = {k: i.value.strip() for k, i in told.items() if i.value and i.value.strip()}
    return Order(**said) if said else None


def _papers(at: Here, number: int, version: int) -> None:
    html("<h1>Papers</h1><p class='soft'>Made from the enquiry as it stands. To keep them for good, issue a revision.</p>")
    order = _frame()
    with ui.element("div").classes("bar"):
        page_size = ui.select({"a4": "A4", "letter": "Letter"}, value="a4", label="Page").props("outlined dense").style("width: 8rem")
        steps = ui.checkbox("with calculation sheets")
        button = ui.button("Make the papers").classes("do")
    bar = Bar()
    out = ui.element("div")

    def show(made: Pack) -> None:
        out.clear()
        with out:
            _files(number, made, version)

    async def go() -> None:
        if not at.allowed():
            return
        button.disable()
        made = await bar.run(at.room.papers, number, order=_order(order), page=page_size.value, calculations=bool(steps.value))
        button.enable()
        if made is not None:
            show(made)

    button.on_click(go)
    if (held := at.room.packs.get(number)) is not None:
        show(held)


def _files(number: int, made: Pack, version: int) -> None:
    base = f"/api/enquiries/{number}/papers"
    if made.version != version:
        html(f"<p><b>Out of date:</b> made of version {made.version}; the enquiry has version {version} now.</p>")
    seen = [f for f in made.files if f.endswith(SEEN) and "/" not in f]
    with ui.element("div").classes("bar"):
        ui.link("Take all away (zip)", f"{base}/{PACK}").props('download data-paper="pack"')
        for name in seen:
            ui.button(name, on_click=lambda _, n=name: show(n))
        for name in made.files:
            if name not in seen and "/" not in name:
                ui.link(name, f"{base}/{name}").props("download")
    inside = [f for f in made.files if "/" in f]
    links = "".join(f"<li><a download href='{base}/{text(f)}'>{text(f)}</a></li>" for f in inside)
    html(f"<details class='small'><summary>{len(inside)} drawings and sheets</summary><ul>{links}</ul></details>" if inside else "")
    frame = ui.element("iframe").classes("sheet").props('title="Preview"')

    def show(name: str) -> None:
        frame.props(f'src="{base}/{name}"')

    if seen:
        show("offer.pdf" if "offer.pdf" in seen else seen[0])


def _revisions(at: Here, number: int) -> None:
    html("<h1>Revisions</h1><p class='soft'>A revision is kept byte by byte and never changed.</p>")
    order = _frame()
    with ui.element("div").classes("bar"):
        note = ui.input("What this revision is for").props("outlined dense").style("width: 24rem")
        button = ui.button("Issue the next revision").classes("do")
    bar = Bar()

    async def go() -> None:
        if not at.allowed():
            return
        button.disable()
        made = await bar.run(at.room.issue, number, at.who, note.value or "", _order(order))
        button.enable()
        if made is not None:
            tell(f"revision {made.number} is issued")
            ui.navigate.to(f"/enquiry/{number}/revisions")

    button.on_click(go)
    found = revisions.listed(at.room.db, number)
    if found:
        lines = "".join(
            f"<tr><td>{r.number}</td><td>{text(r.note)}</td><td class='small'>{_when(r.when)}, {text(r.who)}</td>"
            f"<td class='small soft'>{text(r.maker)}; {text(r.engine)}; {r.digest[:12]}</td>"
            f"<td><a download href='/api/enquiries/{number}/revisions/{r.number}/pack.zip'>Take the papers</a></td></tr>"
            for r in found
        )
        html(f"<table class='facts'>{ISSUED}<tbody>{lines}</tbody></table>")
        _comparing(at, number, [r.number for r in found])
    _done(at, number)


def _comparing(at: Here, number: int, numbers: list[int]) -> None:
    html("<h2>Compare</h2>")
    names = {n: f"revision {n}" for n in numbers}
    with ui.element("div").classes("bar"):
        a = ui.select(names, value=numbers[min(1, len(numbers) - 1)], label="Earlier").props("outlined dense").style("width: 13rem")
        now = NOW if len(numbers) == 1 else numbers[0]
        b = ui.select({NOW: "as it stands now"} | names, value=now, label="Later").props("outlined dense").style("width: 13rem")
        button = ui.button("Compare")
    out = ui.element("div").props('aria-live="polite"')

    def run() -> Comparison:
        later: Any = at.room.bench.work(number).items if b.value == NOW else revisions.items(at.room.db, number, int(b.value or 0))
        return compare(revisions.items(at.room.db, number, int(a.value or 0)), later)

    async def go(*_: object) -> None:
        found = await work(run)
        out.clear()
        with out:
            html(_compared(found), "comparison")

    button.on_click(heard(go))


def _compared(c: Comparison) -> str:
    parts = [f"<p><b>{text(c.summary().splitlines()[0])}</b></p>"]
    for title, rows in (("Added", c.added), ("Gone", c.gone)):
        if rows:
            parts.append(f"<h3>{title}</h3><p>{text(', '.join(r.named for r in rows))}</p>")
    parts += [
        f"<h3>{title}</h3>{_changes(found)}"
        for title, found in (("Cells changed", c.changed), ("Verdict, build or operator moved", c.moved))
        if found
    ]
    return "".join(parts)


def _changes(found: tuple[Change, ...]) -> str:
    head = "<thead><tr><th>Tag</th><th>What</th><th>Before</th><th>After</th></tr></thead>"
    lines = "".join(
        f"<tr><td>{text(c.tag)}</td><td>{text(c.what)}</td><td>{_said(c, c.before)}</td><td><b>{_said(c, c.after)}</b></td></tr>"
        for c in found
    )
    return f"<table class='facts'>{head}<tbody>{lines}</tbody></table>"


def _said(c: Change, value: str) -> str:
    return verdict_sign(value) if c.what.startswith("verdict") and value in ("yes", "if", "no", "ask") else text(value or "nothing")


def _done(at: Here, number: int) -> None:
    lines = "".join(
        f"<tr><td class='small'>{_when(e.when)}</td><td>{text(e.who)}</td><td>{text(e.what)}</td>"
        f"<td class='small soft'>{text(e.detail[:160])}</td></tr>"
        for e in audit.lines(at.room.db, number, 60)
    )
    html("<h2>Who did what</h2>" + scroll(f"<table class='facts'>{lines}</table>", "Who did what"))


def _when(moment: str) -> str:
    return text(moment[:16].replace("T", " "))
