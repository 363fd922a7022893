"""The band at the top of an enquiry: how it stands, what to ask, what would be built, what is least sure."""

from collections.abc import Callable, Sequence

from nicegui import ui

from softseat.desk.bench import Work
from softseat.desk.marks import ORDER, SIGNS, asked_about, build_list, counted, least_sure, text
from softseat.desk.pages.frame import html
from softseat.papers.texts import label
from softseat.selection.item import Item
from softseat.selection.merging import Merge, merges

MERGES = 3  # shown


def band(number: int, work: Work, only: str, choose: Callable[[str], None], ask: Callable[[str, str, list[int]], None]) -> None:
    """Draw the band; a count filters the table, a question opens the answer for all items that it touches."""
    items = work.items
    with ui.element("div").classes("band"):
        with ui.element("section").props('aria-label="Verdicts as offered"'):
            html(f"<h2>{len(items)} items, as offered</h2>")
            for word, count in counted(items).items():
                _count(word, count, only, choose)
        with ui.element("section"):
            _questions(items, ask)
        with ui.element("section"):
            _builds(work)
        with ui.element("section"):
            _unsure(number, items)


def _count(word: str, count: int, only: str, choose: Callable[[str], None]) -> None:
    pressed = str(word == only).lower()
    button = ui.element("button").classes("count").props(f'type="button" aria-pressed="{pressed}" data-verdict="{word}"')
    button.on("click", lambda: choose("" if word == only else word))
    with button:
        html(f'<b>{count}</b> <span class="sign" aria-hidden="true">{SIGNS[word]}</span> {word}').style("display: flex; gap: .4rem")


def _questions(items: Sequence[Item], ask: Callable[[str, str, list[int]], None]) -> None:
    found = asked_about(items)
    html(f"<h2>{len(found)} questions</h2>")
    with ui.element("ul"):
        for field, question, touched in found:
            with ui.element("li"):
                link = ui.element("button").classes("count").props('type="button"').style("font-size: .9rem; align-items: baseline")
                link.on("click", lambda _, f=field, q=question, t=touched: ask(f, q, t))
                aside = f'<span class="soft">{text(label(field) if field else "")}</span>'
                with link:
                    html(f"<b>{len(touched)}</b> <span>{text(question)} {aside}</span>").style("display: flex; gap: .4rem")


def _builds(work: Work) -> None:
    """Distinct builds with their pieces; under them which two could be made one, and what that would cost."""
    found = build_list(work.items)
    pieces, tags = sum(p for _, _, p in found), sum(t for _, t, _ in found)
    lines = "".join(f"<li><b>{p}</b> × {text(b)}</li>" for b, _, p in found)
    one = [m for m in merges(work.decided.decision, work.items) if not m.why_not][:MERGES]
    lines += "".join(f"<li class='soft'>{_merged(m)}</li>" for m in one)
    html(f"<h2>{tags} items = {len(found)} builds, {pieces} pieces</h2><ul tabindex='0' aria-label='builds'>{lines}</ul>")


def _merged(m: Merge) -> str:
    cost = f", {m.conditions} condition{'s' if m.conditions != 1 else ''} more" if m.conditions else ""
    return f"one build less: {text(m.part)} {text(m.take)} instead of {text(m.instead_of)} for {m.pieces} pieces{cost}"


def _unsure(number: int, items: Sequence[Item]) -> None:
    lines = "".join(
        f'<li><a href="/enquiry/{number}/item/{i.n}">{text(i.tag or i.n)}</a> <span class="soft">{text(why)}</span></li>'
        for i, why in least_sure(items)
        if why
    )
    html(f"<h2>Least sure</h2><ul>{lines or '<li class=soft>nothing stands out</li>'}</ul>")


def word_filter(word: str) -> dict[str, dict[str, str]] | None:
    """The table's filter for one verdict."""
    return {"offered": {"filterType": "text", "type": "endsWith", "filter": f" {word}"}} if word in ORDER else None
