"""What is this flange? Three measured numbers, and the drillings that they fit."""

from typing import Any

from fastapi import Request
from nicegui import ui

from softseat.calculator import run
from softseat.desk.marks import text
from softseat.desk.pages.frame import here, html, page
from softseat.errors import SoftseatError

BOXES = (
    ("bolt_circle", "Bolt circle", "295 mm"),
    ("holes", "Holes", "8"),
    ("hole_diameter", "Hole diameter", "22 mm"),
    ("outside_diameter", "Outside, if measured", ""),
)
HOW = "Measure the bolt circle (hole edge to hole edge plus one hole), count the holes, measure a hole. A bare number is millimetres."
HEAD = "<thead><tr><th>System</th><th>Rating</th><th>Size</th><th>Worst difference</th></tr></thead>"


def lay() -> None:
    """Register the page."""

    @ui.page("/flange", response_timeout=20)
    def flange(request: Request) -> None:
        with page(here(request), (("what is this flange?", ""),)):
            html(f"<h1>What is this flange?</h1><p>{HOW}</p>")
            with ui.element("div").classes("bar"):
                boxes = {key: ui.input(said, value=start).props("outlined dense").style("width: 13rem") for key, said, start in BOXES}
            out = ui.element("div").props('aria-live="polite"')

            def look() -> None:
                out.clear()
                with out:
                    html(_found(boxes))

            for box in boxes.values():
                box.on_value_change(look)
            look()


def _found(boxes: dict[str, ui.input]) -> str:
    try:
        inputs = {k: _measure(k, str(b.value)) for k, b in boxes.items() if str(b.value or "").strip()}
        answer = run("flange-from-measures", inputs)
    except SoftseatError as error:
        return f"<p class='soft'>{text(error)}</p>"
    rows = answer.get("candidates") or []
    rows = rows[0] if rows and isinstance(rows[0], list) else rows
    notes = "".join(f"<p class='small'>{text(n)}</p>" for n in answer["notes"])
    if not rows:
        return f"<p>No drilling that is held here fits these numbers.</p>{notes}"
    body = "".join(f"<tr>{''.join(f'<td>{_cell(v)}</td>' for v in _values(r))}</tr>" for r in rows)
    return f"<table class='facts'>{HEAD}<tbody>{body}</tbody></table>{notes}"


def _measure(key: str, typed: str) -> Any:
    typed = typed.strip()
    if key == "holes":
        return float(typed) if typed.replace(".", "", 1).isdigit() else typed
    return f"{typed} mm" if typed.replace(".", "", 1).isdigit() else typed


def _values(row: Any) -> list[Any]:
    return list(row.values()) if isinstance(row, dict) else list(row)


def _cell(value: Any) -> str:
    return f"{value * 1000:.1f} mm" if isinstance(value, float) else text(value)
