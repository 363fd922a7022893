"""The books: the rulebook, the handbook of calculations, the maker's data; from the registers and tables as they are."""

import json
from typing import Any

from fastapi import Request
from nicegui import ui

from softseat.calculator import calculations, run
from softseat.desk.marks import scroll, text
from softseat.desk.pages.frame import here, html, page, tell, work
from softseat.errors import SoftseatError
from softseat.maker.package import Maker, head, lines
from softseat.papers.figures import sentence
from softseat.papers.texts import label
from softseat.register import Calculation, Entry
from softseat.selection.rulebook import rulebook

SEVERITIES = ("stop", "query", "condition", "advice", "care")


def lay() -> None:
    """Register the pages."""

    @ui.page("/rulebook", response_timeout=20)
    def rules(request: Request) -> None:
        with page(here(request), (("rulebook", ""),)):
            _rules()

    @ui.page("/handbook", response_timeout=30)
    async def handbook(request: Request) -> None:
        at = here(request)
        found = await work(calculations)
        with page(at, (("handbook", ""),)):
            html(f"<h1>{len(found)} calculations</h1><p>Each with its formula, its source, and an example that runs here.</p>")
            _filtered([(c.name, f"{c.name} {c.title} {c.source}", _entry(c)) for c in found.values()])

    @ui.page("/handbook/{name}", response_timeout=30)
    async def calculation(request: Request, name: str) -> None:
        at = here(request)
        found = await work(calculations)
        with page(at, (("handbook", "/handbook"), (name, ""))):
            _calculation(found[name]) if name in found else html(f"<p>No calculation is called {text(name)}.</p>")

    @ui.page("/maker", response_timeout=30)
    def maker(request: Request) -> None:
        at = here(request)
        with page(at, (("maker's data", ""),), narrow=False):
            _maker(at.room.bench.maker())


def _rules() -> None:
    found = rulebook()
    counted = ", ".join(f"{sum(r['severity'] == s for r in found)} {s}" for s in SEVERITIES)
    html(f"<h1>{len(found)} rules</h1><p>{counted}. What cannot be evaluated yet says so.</p>")
    _filtered([(r["id"], " ".join(r.values()), _rule(r)) for r in found])


def _rule(r: dict[str, str]) -> str:
    reads = f"; reads {', '.join(label(n) for n in r['reads'].split())}" if r["reads"] else ""
    state = "" if r["evaluated"] == "yes" else " <b>not evaluated</b>"
    kind = f'<b>{text(r["id"])}</b><br>{text(r["severity"])}<br><span class="soft small">{text(r["area"])}</span>'
    told = f"<p class='small'>Reason: {text(r['reason'])}</p><p class='small'>Remedy: {text(r['remedy'])}</p>"
    source = f'<p class="small soft">{text(r["source"])}{text(reads)}</p>'
    return f'<div class="finding" id="{text(r["id"])}"><div>{kind}</div><div>{text(r["condition"])}{state}{told}{source}</div></div>'


def _filtered(found: list[tuple[str, str, str]]) -> None:
    """A list with a box above it that narrows it."""
    box = ui.input("Find").props("outlined dense clearable").style("width: 24rem; margin: .4rem 0 .8rem")
    out = ui.html("".join(h for _, _, h in found), sanitize=False)

    def narrow() -> None:
        words = (box.value or "").lower().split()
        kept = [h for _, said, h in found if all(w in said.lower() for w in words)]
        out.set_content("".join(kept) or "<p class='soft'>Nothing of that kind.</p>")

    box.on_value_change(narrow)


def _entry(c: Calculation) -> str:
    return (
        f"<div class='finding'><div><a href='/handbook/{text(c.name)}'>{text(c.name)}</a></div>"
        f"<div>{text(c.title)} <code>{text(c.formula)}</code><p class='small soft'>{text(c.source)}</p></div></div>"
    )


def _calculation(c: Calculation) -> None:
    html(f"<h1>{text(c.name)}</h1><p>{text(c.title)}</p><p><code>{text(c.formula)}</code></p><p class='small soft'>{text(c.source)}</p>")
    boxes: dict[str, Any] = {}
    with ui.element("div").classes("wide-left"):
        with ui.element("table").classes("facts"):
            for e in c.inputs:
                boxes[e.name] = _box(e, str(c.example.get(e.name, "")))
        out = ui.element("div").props('aria-live="polite"')

    def compute() -> None:
        try:
            answer = run(c.name, {k: _value(c, k, b.value) for k, b in boxes.items() if str(b.value or "").strip()})
        except SoftseatError as error:
            tell(str(error))
            return
        out.clear()
        with out:
            html(_answer(c, answer))

    ui.button("Compute", on_click=compute).classes("do").style("margin: .7rem 0")
    for box in boxes.values():
        box.on("keydown.enter", compute)
    if c.example:
        compute()


def _box(e: Entry, start: str) -> ui.input:
    with ui.element("tr"):
        with ui.element("td"):
            aside = " <span class='soft'>optional</span>" if e.optional else ""
            html(f"{text(e.name)}{aside}<br><span class='soft small'>{text(e.text)}</span>")
        with ui.element("td"):
            box = ui.input(value=start).props(f'outlined dense aria-label="{text(e.name)}"').style("width: 12rem")
            return box.props(f'placeholder="{text(e.unit or "word")}"')


def _value(c: Calculation, name: str, said: object) -> object:
    """As typed; a bare number of a calculation's number is SI."""
    typed = str(said).strip()
    entry = next(e for e in c.inputs if e.name == name)
    if typed.startswith(("[", "{")) or entry.unit is None:
        try:
            return json.loads(typed)
        except ValueError:
            return {"True": True, "False": False}.get(typed, typed)
    try:
        return float(typed)
    except ValueError:
        return typed


def _answer(c: Calculation, answer: dict[str, Any]) -> str:
    told = {e.name: e.text for e in c.outputs}
    units, notes = answer["units"], answer["notes"]
    lines = "".join(
        f"<tr><th scope='row'>{text(k)}<br><span class='small soft'>{text(told.get(k, ''))}</span></th>"
        f"<td class='n'>{text(sentence(v, 6))}&nbsp;{text(units.get(k, ''))}</td></tr>"
        for k, v in answer.items()
        if k not in ("units", "notes")
    )
    return f"<h2 style='margin-top:0'>Result</h2><table class='facts'>{lines}</table>" + "".join(
        f"<p class='small'>{text(n)}</p>" for n in notes
    )


def _maker(maker: Maker) -> None:
    invented = " <b>Demonstration data, invented.</b>" if maker.invented else ""
    never = "An invented figure never narrows a band and is never called tested."
    html(f"<h1>{text(maker.title)}</h1><p>{len(maker.tables)} tables.{invented} {never}</p>")
    names = sorted(p.stem for p in maker.folder.glob("*.csv"))
    with ui.element("div").classes("bar"):
        for name in names:
            ui.button(name, on_click=lambda _, n=name: show(n))
    out = ui.element("div").props('aria-live="polite"')

    def show(name: str) -> None:
        out.clear()
        with out:
            html(_table(maker, name))

    show("valves" if "valves" in names else names[0])


def _table(maker: Maker, name: str) -> str:
    rows = lines(maker.folder / f"{name}.csv")
    named = [head(h) for h in rows[0][1]]
    heads = "".join(f"<th>{text(said.replace('_', ' '))}<br><span class='soft'>{text(unit or '')}</span></th>" for said, unit in named)
    body = "".join(f"<tr>{''.join(f'<td>{text(c)}</td>' for c in cells)}</tr>" for _, cells in rows[1:])
    table = f"<table class='facts small data'><thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table>"
    return f"<h2>{text(name)}: {len(rows) - 1} rows</h2>{scroll(table, name)}"
