"""One answer for many items: which field, what it says, for which rows."""

from collections.abc import Awaitable, Callable
from typing import Any

from nicegui import ui

from softseat.desk.bench import Work
from softseat.desk.pages.frame import dialog, heard, tell
from softseat.enquiry.fieldtable import fields
from softseat.names import names

Write = Callable[[list[tuple[int, str, str]]], Awaitable[None]]


def bulk_dialog(work: Work, grid: ui.aggrid, field: str, question: str, touched: list[int], write: Write) -> None:
    """Ask for it; the rows are those of the question, those picked, those shown, or those of one medium."""
    scopes: dict[str, str] = {f"touched{len(touched)}": f"the {len(touched)} items that the question touches"} if touched else {}
    scopes |= {"picked": "the rows picked in the table", "shown": "the rows shown (after filters)", "all": f"all {len(work.items)} items"}
    media = sorted({i.medium for i in work.items if i.medium})
    scopes |= {f"medium:{m}": f"all {m} ({sum(i.medium == m for i in work.items)})" for m in media}
    with dialog("Answer in bulk", "40rem") as shown:
        ui.label(question).set_visibility(bool(question))
        key = (
            ui.select(_labels(), value=field if field in fields() else None, label="Field", with_input=True)
            .props("outlined dense")
            .style("width: 100%")
        )
        said = ui.input("What it says, with its unit").props("outlined dense autofocus").style("width: 100%")
        scope = ui.select(scopes, value=next(iter(scopes)), label="For").props("outlined dense").style("width: 100%")

        async def go() -> None:
            if not key.value:
                tell("which field? choose one")
                return
            rows = await _rows(work, grid, str(scope.value), touched)
            if not rows:
                tell("no rows: pick some in the table, or choose another For")
                return
            shown.close()
            await write([(n - 1, str(key.value), said.value or "") for n in rows])

        with ui.element("div").classes("bar"):
            ui.button("Write the answer", on_click=heard(go)).classes("do")
            ui.button("Close", on_click=shown.close)
        said.on("keydown.enter", heard(go))
    shown.open()


async def _rows(work: Work, grid: ui.aggrid, scope: str, touched: list[int]) -> list[int]:
    if scope.startswith("touched"):
        return touched
    if scope.startswith("medium:"):
        return [i.n for i in work.items if i.medium == scope.removeprefix("medium:")]
    if scope == "all":
        return [i.n for i in work.items]
    rows: list[dict[str, Any]] = await (grid.get_selected_rows() if scope == "picked" else grid.get_client_data(method="filtered_sorted"))
    return [int(r["n"]) for r in rows]


def _labels() -> dict[str, str]:
    known = names()
    return {k: f"{known[k].label if k in known else k} ({k})" for k in fields()}
