"""What was read of the buyer's file: sheets, headings, which column became which field, what was not understood; changed by choosing."""

from dataclasses import replace
from typing import Any

from fastapi import Request
from nicegui import ui

from softseat.desk.bench import Work
from softseat.desk.cells import column_number, header_rows, not_understood
from softseat.desk.clock import by
from softseat.desk.intake import choose_columns
from softseat.desk.marks import scroll, text
from softseat.desk.pages.frame import Here, heard, here, html, page, work
from softseat.desk.pages.habits import KINDS, in_words
from softseat.desk.schedule import Reading
from softseat.enquiry.fieldtable import fields
from softseat.enquiry.records import Mapped
from softseat.errors import InputError
from softseat.papers.texts import label
from softseat.store import customers, enquiries
from softseat.units import find

MOST_ROWS = 400  # of a sheet that are shown
UNREAD = "_not_a_field"
TWICE = ("R005", "R006")  # rules that tell of a tag that stands twice


def lay() -> None:
    """Register the page."""

    @ui.page("/enquiry/{number}/read", response_timeout=60)
    async def taken(request: Request, number: int) -> None:
        at = here(request)
        kept = enquiries.get(at.room.db, number)
        done = await work(at.room.bench.explained, number)
        with page(at, ((kept.name, f"/enquiry/{number}"), ("what was read", "")), narrow=False):
            html(_summary(done))
            with ui.element("div").classes("wide-left"):
                with ui.element("section"):
                    _columns(at, number, done)
                with ui.element("section"):
                    html(_doubts(done))
                    _habits(at, done)
            html(_sheets(done))


def _summary(done: Work) -> str:
    skipped = "".join(f"<li>{text(s)}: {text(why)}</li>" for s, why in done.read.skipped)
    left = [n for n in done.read.notes if "headings in row" not in n]
    notes = "".join(f"<li>{text(n)}</li>" for n in left)
    told = f"<h2>Sheets without a table</h2><ul>{skipped}</ul>" if skipped else ""
    told += f"<h2>Seen on the way</h2><ul class='small'>{notes}</ul>" if notes else ""
    return f"<h1>{len(done.read.rows)} items in {text(done.source_name or 'words said on the phone')}</h1>{told}"


def _columns(at: Here, number: int, done: Work) -> None:
    """One line a column; another field is chosen here, and a unit where the heading tells none."""
    html("<h2>Columns</h2>")
    chosen: dict[str, Any] = {}
    units: dict[str, Any] = {}
    with ui.element("table").classes("facts"):
        with ui.element("tr"):
            for said in ("Heading", "Read as", "Unit", "How sure"):
                with ui.element("th").classes("soft small"):
                    ui.label(said)
        for m in {m.heading: m for m in done.read.mapping if m.heading}.values():
            _column(m, done.schedule.reading, chosen, units)

    async def go(*_: object) -> None:
        if not at.allowed():
            return
        reading = _chosen(done, {h: s.value for h, s in chosen.items()}, {h: u.value for h, u in units.items()})
        await work(choose_columns, at.room, at.who, number, reading)
        ui.navigate.to(f"/enquiry/{number}/read")

    remembered = f" and remember it for {done.customer}" if done.customer else ""
    ui.button(f"Read it so{remembered}", on_click=heard(go)).classes("do").style("margin-top: .6rem")


def _column(m: Mapped, reading: Reading, chosen: dict[str, Any], units: dict[str, Any]) -> None:
    told = ", ".join(label(f) for f in m.fields) or "no field"
    options = {"": f"as understood: {told}", UNREAD: "no field of an enquiry"} | {k: f"{label(k)} ({k})" for k in fields()}
    now, unit = reading.columns.get(m.heading, ""), reading.units.get(m.heading, "")
    with ui.element("tr"):
        with ui.element("td"):
            html(f"{text(m.heading)} <span class='soft small'>{text(m.column)}</span>")
        with ui.element("td"):
            select = ui.select(options, value=now if now in options else "", with_input=True).style("width: 21rem")
            chosen[m.heading] = select.props(f'dense outlined aria-label="field of {text(m.heading)}"')
        with ui.element("td"):
            box = ui.input(value=unit, placeholder=m.unit).style("width: 6rem")
            units[m.heading] = box.props(f'dense outlined aria-label="unit of {text(m.heading)}"')
        with ui.element("td").classes("small soft"):
            ui.label(m.how or "not known")


def _chosen(done: Work, columns: dict[str, Any], units: dict[str, Any]) -> Reading:
    told = {h: str(u).strip() for h, u in units.items() if u and str(u).strip()}
    for heading, unit in told.items():
        if find(unit) is None:
            raise InputError(f"{heading}: {unit!r} is no unit that is known; m3/h, bar(g), C, mm are such")
    before = done.schedule.reading
    kept = {h: k for h, k in before.columns.items() if h not in columns}
    return replace(before, columns={**kept, **{h: str(k) for h, k in columns.items() if k}}, units=told)


def _doubts(done: Work) -> str:
    marks = not_understood(done.read)
    cells = "".join(
        f"<tr><td><a href='#i{m.n + 1}'>{m.n + 1} {text(done.items[m.n].tag)}</a></td><td>{text(label(m.field))}</td>"
        f"<td>“{text(m.text)}”</td><td class='small soft'>{text(m.why)}</td></tr>"
        for m in marks
    )
    none = "<p class='soft'>Every cell under a known heading was read.</p>"
    told = f"<h2>{len(marks)} cells not understood</h2>" + (f"<table class='facts'>{cells}</table>" if cells else none)
    twice = [f"<p class='small'>{i.n} {text(i.tag)}: {text(f.text)}</p>" for i in done.items for f in i.findings if f.rule in TWICE]
    told += f"<h2>Tags that stand twice</h2>{''.join(twice)}" if twice else ""
    spare = "; ".join(f"{text(u.heading)} ({len(u.cells)} cells)" for u in done.read.unmapped if u.cells)
    return told + (f"<h2>Kept, but no field</h2><p class='small'>{spare}</p>" if spare else "")


def _habits(at: Here, done: Work) -> None:
    """Answers that stand for every enquiry of this customer."""
    if not done.customer:
        return
    known = customers.remembered(at.room.db, done.customer)
    html(f"<h2>What {text(done.customer)} always means</h2>")
    lines = "".join(
        f"<tr><td class='soft'>{KINDS[kind]}</td>{''.join(f'<td>{text(w)}</td>' for w in in_words(kind, k, v))}</tr>"
        for kind, held in known.items()
        for k, v in held.items()
    )
    html(f"<table class='facts small'>{lines}</table>" if lines else "<p class='soft'>Nothing is remembered yet.</p>")
    html("<p class='small'><a href='/customers'>Of all customers</a></p>")
    with ui.element("div").classes("bar"):
        key = ui.select({k: label(k) for k in fields()}, label="Field", with_input=True).props("dense outlined").style("min-width: 14rem")
        said = ui.input("Standing answer (empty: forget)").props("dense outlined")

        async def go(*_: object) -> None:
            if at.allowed():
                await work(customers.remember, at.room.db, by(at.who), done.customer, "answers", {str(key.value or ""): said.value or ""})
                ui.navigate.reload()

        ui.button("Remember", on_click=heard(go))


def _sheets(done: Work) -> str:
    """The sheets in place: headings bold, rows left out pale, cells in doubt underlined."""
    parts = []
    items = {(r.sheet, r.row): r.n for r in done.read.rows}
    heads = header_rows(done.read)
    doubts = {
        (o.sheet, o.row, column_number(o.column)): m.why
        for m in not_understood(done.read)
        if (o := done.read.sheet.origin.get((m.n, m.field))) and o.column
    }
    for sheet in (s["name"] for s in done.schedule.layout["sheets"]):
        numbers = sorted(r for s, r in done.schedule.rows if s == sheet)
        body = "".join(_row(done, sheet, r, items.get((sheet, r)), r in heads.get(sheet, ()), doubts) for r in numbers[:MOST_ROWS])
        more = f"<p class='soft'>and {len(numbers) - MOST_ROWS} rows more</p>" if len(numbers) > MOST_ROWS else ""
        shown = scroll(f"<table class='facts small raw'>{body}</table>", sheet)
        parts.append(f"<h2>{text(sheet)}</h2>{shown}{more}")
    return "".join(parts)


def _row(done: Work, sheet: str, row: int, n: int | None, head: bool, doubts: dict[tuple[str, int, int], str]) -> str:
    cells = done.schedule.rows[sheet, row]
    if not any(str(c).strip() for c in cells):
        return ""
    kind = "heading" if head else f"item {n}" if n else "left out"
    told = "".join(_cell(cell, "th" if head else "td", doubts.get((sheet, row, place), "")) for place, cell in enumerate(cells))
    mark = f" id='i{n}'" if n else "" if head else " class='soft'"
    return f"<tr{mark}><td class='soft'>{row}</td><td class='soft'>{kind}</td>{told}</tr>"


def _cell(cell: str | float, tag: str, why: str) -> str:
    mark = f" class='doubt' title='{text(why)}'" if why else ""
    return f"<{tag}{mark}>{text(f'{cell:.12g}' if isinstance(cell, float) else cell)}</{tag}>"
