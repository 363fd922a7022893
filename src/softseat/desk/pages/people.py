"""Who may do what: people, their roles, tokens for programs; and the way out."""

from collections.abc import Awaitable, Callable
from typing import Any

from fastapi import Request
from nicegui import events, ui

from softseat.desk.clock import by, later
from softseat.desk.marks import text
from softseat.desk.pages.frame import Here, heard, here, html, page, tell, work
from softseat.store import users

TOKEN_HOURS = 24.0 * 90


def lay() -> None:
    """Register the page."""

    @ui.page("/people")
    def people(request: Request) -> None:
        at = here(request)
        with page(at, (("people", ""),)):
            html(f"<h1>People</h1><p>You are {text(at.who)}.</p>")
            if not at.room.login:
                html("<p>This desk answers on its own machine only: nobody logs in.</p>")
                return
            html('<form method="post" action="/logout"><button type="submit">Log out</button></form>')
            _token(at)
            if at.may("lead"):
                _people(at)


def _token(at: Here) -> None:
    html("<h2>A token for a program</h2><p>It may do what you may, for 90 days. It is shown once.</p>")
    out = ui.label("").props('role="status"').style("font-family: monospace")
    label = ui.input("What it is for").props("outlined dense").style("width: 20rem")

    async def go(*_: object) -> None:
        out.set_text(await work(users.new_key, at.room.db, by(at.who), at.person.id, "token", later(TOKEN_HOURS), label.value or ""))

    ui.button("Make a token", on_click=heard(go))


def _people(at: Here) -> None:
    html("<h2>Everyone</h2>")
    with ui.element("table").classes("facts"):
        for p in users.people(at.room.db):
            with ui.element("tr"):
                with ui.element("td"):
                    ui.label(p.name)
                with ui.element("td"):
                    ui.select(list(users.ROLES), value=p.role, on_change=_changing(at, p.name, "role")).props(
                        f'dense outlined aria-label="role of {text(p.name)}"'
                    )
                with ui.element("td"):
                    ui.checkbox("may log in", value=p.active, on_change=_changing(at, p.name, "active"))
    html("<h2>Another person</h2>")
    with ui.element("div").classes("bar"):
        name = ui.input("Name").props("outlined dense")
        role = ui.select(list(users.ROLES), value="engineer", label="Role").props("outlined dense").style("width: 9rem")
        password = ui.input("First password", password=True).props('outlined dense autocomplete="new-password"')

        async def go(*_: object) -> None:
            if at.allowed("lead"):
                await work(users.add_user, at.room.db, by(at.who), name.value or "", str(role.value), password.value or "")
                ui.navigate.reload()

        ui.button("Enter", on_click=heard(go))


def _changing(at: Here, name: str, what: str) -> Callable[..., Awaitable[None]]:
    async def go(e: events.ValueChangeEventArguments[Any]) -> None:
        if at.allowed("lead"):
            await work(users.change_user, at.room.db, by(at.who), name, **{what: e.value})
            tell(f"{name} is changed and has to log in again")

    return heard(go)
