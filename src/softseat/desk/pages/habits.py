"""What is remembered of each customer: what his headings mean, in which unit, and answers that stand; each can be forgotten."""

from collections.abc import Awaitable, Callable

from fastapi import Request
from nicegui import ui

from softseat.desk.clock import by
from softseat.desk.marks import text
from softseat.desk.pages.frame import Here, heard, here, html, page, tell, work
from softseat.papers.texts import label
from softseat.store import customers, enquiries

KINDS = {"columns": "His heading, and the field it is", "units": "His heading, and its unit", "answers": "Standing answer"}
UNREAD = "_not_a_field"
HOW = (
    "Taken for granted in every enquiry of this customer from then on, and written beside the item as his habit. "
    "What is forgotten here stays as it is in enquiries that were taken in before."
)


def lay() -> None:
    """Register the page."""

    @ui.page("/customers", response_timeout=20)
    def habits(request: Request) -> None:
        at = here(request)
        with page(at, (("customers", ""),)):
            html(f"<h1>What is remembered of customers</h1><p>{HOW}</p>")
            _all(at)


@ui.refreshable
def _all(at: Here) -> None:
    names = customers.customers(at.room.db)
    if not names:
        html("<p class='soft'>Nothing is remembered yet. Choose a column or a standing answer on the page of what was read.</p>")
    for name in names:
        html(f"<h2>{text(name)}</h2>")
        counted = [e for e in enquiries.listed(at.room.db) if e.customer == name]
        links = ", ".join(f"<a href='/enquiry/{e.id}/read'>{text(e.name)}</a>" for e in counted[:5])
        html(f"<p class='small soft'>{len(counted)} enquir{'y' if len(counted) == 1 else 'ies'}{': ' if links else ''}{links}</p>")
        with ui.element("table").classes("facts"):
            for kind, held in customers.remembered(at.room.db, name).items():
                for key, value in held.items():
                    _line(at, name, kind, key, value)


def in_words(kind: str, key: str, value: str) -> tuple[str, str]:
    """What one habit speaks of, and what it means."""
    means = "no field" if value == UNREAD else label(value) if kind == "columns" else value
    return label(key) if kind == "answers" else key, means


def _line(at: Here, customer: str, kind: str, key: str, value: str) -> None:
    said, means = in_words(kind, key, value)
    with ui.element("tr"):
        for cell in (f"<span class='soft small'>{KINDS[kind]}</span>", text(said), f"<b>{text(means)}</b>"):
            with ui.element("td"):
                html(cell)
        with ui.element("td").classes("n"):
            button = ui.button("Forget", on_click=heard(_forgetting(at, customer, kind, key))).classes("flat")
            button.props(f'aria-label="{text(f"Forget {said} of {customer}")}"')


def _forgetting(at: Here, customer: str, kind: str, key: str) -> Callable[..., Awaitable[None]]:
    async def go(*_: object) -> None:
        if at.allowed():
            await work(customers.remember, at.room.db, by(at.who), customer, kind, {key: ""})
            tell(f"{key} is forgotten for {customer}")
            _all.refresh()

    return go
