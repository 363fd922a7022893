"""The page of one item: the valve, the verdict in a sentence, what was found, the builds, the curves; the disc turns by hand."""

from typing import Any

from fastapi import Request
from nicegui import ui

from softseat.desk.bench import Work
from softseat.desk.clock import by
from softseat.desk.marks import text, verdict_sign
from softseat.desk.pages.frame import Here, dialog, heard, here, html, page, work
from softseat.desk.pages.numbers import explain_number, how_found
from softseat.desk.pages.parts import duty_table, findings, ladder, runs, turned
from softseat.papers.drawing import arrangement_svg
from softseat.papers.figures import sentence
from softseat.papers.texts import label
from softseat.selection.item import Item
from softseat.selection.weighed import maker_words
from softseat.store import enquiries, overrides
from softseat.store.overrides import Overridden

DRAWN = 250.0  # width of the drawing [mm] of its own paper


def lay() -> None:
    """Register the page."""

    @ui.page("/enquiry/{number}/item/{n}", response_timeout=60)
    async def item(request: Request, number: int, n: int) -> None:
        at = here(request)
        kept = enquiries.get(at.room.db, number)
        done = await work(at.room.bench.explained, number)
        n = min(max(n, 1), len(done.items))
        shown = await work(at.room.bench.traced, number, n)
        with page(at, ((kept.name, f"/enquiry/{number}"), (shown.tag or f"item {n}", "")), narrow=False):
            _head(number, shown, len(done.items))
            with ui.element("div").classes("two" if shown.choice else ""):
                with ui.element("div"):
                    _drawing(at, shown)
                    _curves(shown)
                    html(runs(shown))
                with ui.element("div"):
                    _by_hand(at, number, done, shown)
                    html("<h2>What was found</h2>" + findings(shown))
                    _questions(shown)
                    html("<h2>Builds weighed</h2>" + ladder(shown) if shown.ladder else "")
            _figures(shown)


def _head(number: int, item: Item, count: int) -> None:
    with ui.element("div").classes("bar"):
        html(f"<h1>{text(item.tag or f'item {item.n}')}</h1>")
        html(f"{verdict_sign(item.offered, big=True)} <span class='soft'>as offered</span>")
        html(f"{verdict_sign(item.as_asked)} <span class='soft'>as asked</span>")
        ui.element("span").classes("grow")
        for go, said, step in (("last-item", "previous item (k)", -1), ("next-item", "next item (j)", 1)):
            if 1 <= item.n + step <= count:
                ui.link(said, f"/enquiry/{number}/item/{item.n + step}").props(f'data-go="{go}"')
    pieces = f"{item.quantity} piece{'s' if item.quantity != 1 else ''}"
    where = "; ".join(text(t) for t in (f"{item.sheet}, row {item.row}", pieces, item.medium, item.service) if t)
    html(f"<p style='font-size:1.15rem'>{text(item.sentence)}</p><p class='soft small'>{where}</p>")
    if item.other_family:
        f = item.other_family
        html(f"<p>Look at: <b>{text(f['family'])}</b> ({text(f['why'])}). To be asked: {text(f['ask'])}</p>")


def _drawing(at: Here, item: Item) -> None:
    if not item.choice:
        return
    html(arrangement_svg(item, DRAWN, maker=maker_words(at.room.bench.maker())), "drawing")


def _curves(item: Item) -> None:
    """The disc in hand: the slider turns it, and shows what it takes there."""
    if not item.curves:
        return
    html("<h2>Turn the disc</h2>")
    slider = ui.slider(min=0, max=90, step=1, value=30).props('label-always aria-label="Opening in degrees"')
    out = ui.html(turned(item, 30.0), sanitize=False).classes("chart")
    slider.on_value_change(lambda e: out.set_content(turned(item, float(e.value or 0))))


def _questions(item: Item) -> None:
    lines = ""
    for q in item.questions:
        weight = f"{q.effect:.0%} of plausible answers change the verdict or the build" if q.effect is not None else ""
        aside = "; ".join(t for t in (label(q.field) if q.field else "", f"taken: {q.assumed}" if q.assumed else "", weight) if t)
        lines += f"<li>{text(q.text)} <span class='soft'>{text(aside)}</span></li>"
    turns = "".join(f"<li>{text(f)}</li>" for f in item.flips)
    html(f"<h2>To ask</h2><ol>{lines}</ol>" if lines else "")
    html(f"<h2>What would turn the verdict</h2><ul>{turns}</ul>" if turns else "")


def _figures(item: Item) -> None:
    """Every number opens its calculation."""
    with ui.element("div").classes("two"):
        with ui.element("section"):
            html("<h2>Numbers</h2>")
            with ui.element("table").classes("facts"):
                for key, number in item.numbers.items():
                    with ui.element("tr"):
                        with ui.element("th").props('scope="row"'):
                            ui.label(label(key))
                        with ui.element("td").classes("n"):
                            button = ui.element("button").classes("number").props(f'type="button" data-number="{key}"')
                            button.on("click", lambda _, k=key: explain_number(item, k))
                            with button:
                                ui.label(sentence(number))
                        with ui.element("td").classes("soft small"):
                            ui.label(number.basis)
            ui.button("The whole calculation sheet", on_click=lambda: explain_number(item, ""))
        with ui.element("section"):
            html("<h2>The duty, and where it was read</h2>" + duty_table(item, how_found))


def _by_hand(at: Here, number: int, done: Work, item: Item) -> None:
    """What a person decided against the findings: shown first, with name and reason."""
    place = (item.sheet, item.row)
    for o in overrides.overrides(at.room.db, number):
        if o.place == place:
            html(_decided(o), "hand")
            if not o.withdrawn:
                with ui.element("div").classes("bar"):
                    ui.button("Withdraw it", on_click=heard(_withdrawing(at, number, o.id, item.n)))
    ui.button("Decide by hand", on_click=lambda: _decide(at, number, place, item))


def _decided(o: Overridden) -> str:
    over = f"<p class='soft'>withdrawn by {text(o.withdrawn)}</p>" if o.withdrawn else ""
    against = text(o.rule or "the verdict")
    who = f"<b>Decided by hand</b> by {text(o.who)}, {text(o.when[:10])}, against {against}"
    return f"{who}: {text(o.decision)}<p>Reason: {text(o.reason)}</p>{over}"


def _withdrawing(at: Here, number: int, override: int, n: int) -> Any:
    async def go(*_: object) -> None:
        if at.allowed():
            await work(overrides.withdraw, at.room.db, by(at.who), number, override)
            ui.navigate.to(f"/enquiry/{number}/item/{n}")

    return go


def _decide(at: Here, number: int, place: tuple[str, int], item: Item) -> None:
    rules = {"": "the verdict as a whole"} | {
        f.rule: f"{f.rule}: {f.text[:70]}" for f in item.findings if f.severity in ("stop", "query", "condition")
    }
    with dialog("Decide by hand") as shown:
        html("<p>The finding stays as it is. Your decision stands beside it, with your name, on the screen and on every paper.</p>")
        rule = ui.select(rules, value="", label="Against").props("outlined dense").style("width: 100%")
        decision = ui.input("What is offered nevertheless").props("outlined dense").style("width: 100%")
        reason = ui.textarea("Reason, in words").props("outlined dense rows=3").style("width: 100%")
        name = ui.input("Your name", value=at.who if at.room.login else "").props("outlined dense").style("width: 100%")
        name.set_enabled(not at.room.login)

        async def go(*_: object) -> None:
            if at.allowed():
                who = by(at.who if at.room.login else name.value or "")
                told = {"rule": rule.value or "", "decision": decision.value or "", "reason": reason.value or ""}
                await work(overrides.override, at.room.db, who, number, place, **told)
                ui.navigate.to(f"/enquiry/{number}/item/{item.n}")

        with ui.element("div").classes("bar"):
            ui.button("Enter it under my name", on_click=heard(go)).classes("do")
            ui.button("Close", on_click=shown.close)
    shown.open()
