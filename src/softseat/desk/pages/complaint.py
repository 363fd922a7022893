"""Why does it leak or jam? Six questions, and the causes that fit; what drifts in a log of strokes."""

from fastapi import Request
from nicegui import ui

from softseat.desk.marks import text
from softseat.desk.pages.frame import file_box, here, html, page, work
from softseat.errors import InputError, SoftseatError
from softseat.works.history import read_history
from softseat.works.watch import Watch, watch
from softseat.works.why import Cause, questions, why

SAFE = "Ranked by how well the answers fit; no probability. Make the line safe before the valve is touched."
ASK = "Answer what is known; leave the rest. Several answers to one question are allowed."
LOG = "A CSV file, one row a stroke: stroke or date, then stroke time, supply, torque, current, leak, each with its unit in the heading."


def lay() -> None:
    """Register the pages."""

    @ui.page("/complaint", response_timeout=20)
    def complaint(request: Request) -> None:
        with page(here(request), (("why does it leak?", ""),), narrow=False):
            html(f"<h1>Why does it leak, jam or wear?</h1><p>{ASK}</p>")
            with ui.element("div").classes("two"):
                with ui.element("section"):
                    boxes = _boxes()
                with ui.element("section"):
                    out = ui.element("div").props('aria-live="polite"')

            def look() -> None:
                out.clear()
                with out:
                    html(_causes({q: list(b.value or ()) for q, b in boxes.items()}))

            for box in boxes.values():
                box.on_value_change(look)
            look()

    @ui.page("/strokes", response_timeout=20)
    def strokes(request: Request) -> None:
        with page(here(request), (("what drifts?", ""),)):
            html(f"<h1>What drifts?</h1><p>{LOG}</p>")

            async def taken(name: str, data: bytes) -> None:
                found = await work(_watched, data)
                out.clear()
                with out:
                    html(f"<h2>{text(name)}</h2>{_drifts(found)}")

            file_box("Drop the log here, or choose it (.csv)", (".csv", ".txt"), taken)
            out = ui.element("div").props('aria-live="polite"')


def _boxes() -> dict[str, ui.select]:
    return {
        name: ui.select({w: means for w, means in answers.items() if w}, multiple=True, label=answers[""])
        .props("outlined dense use-chips")
        .style("width: 100%; margin-bottom: .6rem")
        for name, answers in questions().items()
    }


def _causes(answers: dict[str, list[str]]) -> str:
    given = {q: a for q, a in answers.items() if a}
    if not given:
        return "<p class='soft'>No answer yet.</p>"
    try:
        found = why(given)
    except SoftseatError as error:
        return f"<p class='soft'>{text(error)}</p>"
    return f"<ol>{''.join(_told(c) for c in found)}</ol><p class='small soft'>{SAFE}</p>"


def _told(cause: Cause) -> str:
    against = f"<br><span class='soft'>Against it: {text(_against(cause))}</span>" if cause.against else ""
    look = f"<b>Look:</b> {text(cause.apart or cause.check)}<br><b>Cure:</b> {text(cause.cure)}"
    return (
        f"<li style='margin-bottom: .8rem'><b>{text(cause.failure)}</b> <span class='soft'>{text(cause.id)}</span><br>{look}{against}</li>"
    )


def _against(cause: Cause) -> str:
    """Questions whose answer does not fit, as they are asked; parts that the valve has not."""
    asked = questions()
    return "; ".join(asked[a][""] if a in asked else a for a in cause.against)


def _watched(data: bytes) -> Watch:
    try:
        return watch(read_history(data.decode("utf-8-sig")))
    except UnicodeDecodeError:
        raise InputError("the log is no text in UTF-8") from None


def _drifts(found: Watch) -> str:
    rows = "".join(f"<li>{text(d.text)}</li>" for d in found.drifts)
    silent = "".join(f"<li class='soft'>{text(s)}</li>" for s in found.silent)
    told = f"<ul>{rows}</ul>" if rows else "<p>Nothing drifts that these data can tell.</p>"
    return f"<p>{found.strokes} strokes read.</p>{told}" + (f"<h2>What cannot be told</h2><ul>{silent}</ul>" if silent else "")
