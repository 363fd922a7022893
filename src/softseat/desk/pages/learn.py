"""Pages to learn from: turn a knob and see."""

from collections.abc import Awaitable, Callable

from fastapi import Request
from nicegui import events, ui

from softseat.desk.marks import text
from softseat.desk.models import Knob, Model, models
from softseat.desk.pages.frame import here, html, page, tell, work
from softseat.errors import SoftseatError


def lay() -> None:
    """Register the pages."""

    @ui.page("/learn")
    def learn(request: Request) -> None:
        with page(here(request), (("learn", ""),)):
            html("<h1>Turn a knob and see</h1>")
            html("".join(f"<h2><a href='/learn/{m.key}'>{text(m.title)}</a></h2><p>{text(m.words)}</p>" for m in models().values()))

    @ui.page("/learn/{key}", response_timeout=20)
    async def model(request: Request, key: str) -> None:
        found = models().get(key)
        with page(here(request), (("learn", "/learn"), (found.title if found else key, ""))):
            if found is None:
                html(f"<p>There is no page {text(key)}.</p>")
            else:
                await _model(found)


async def _model(found: Model) -> None:
    values = {k.key: float(k.start) for k in found.knobs}
    html(f"<h1>{text(found.title)}</h1><p>{text(found.words)}</p>")
    with ui.element("div").classes("model"):
        knobs = ui.element("div")
        out = ui.html("", sanitize=False).classes("chart")

    turn = {"n": 0}

    async def show() -> None:
        turn["n"] += 1
        mine = turn["n"]
        try:
            drawn = await work(found.draw, dict(values))
        except SoftseatError as error:
            tell(str(error))
            return
        if mine == turn["n"]:
            out.set_content(drawn)

    with knobs:
        for k in found.knobs:
            _slider(k, values, show)
        sources = ", ".join(f"<a href='/handbook/{n}'>{n}</a>" for n in found.runs)
        html(f"<p class='small soft'>Computed by {sources}</p>")
    out.set_content(await work(found.draw, dict(values)))


def _slider(k: Knob, values: dict[str, float], show: Callable[[], Awaitable[None]]) -> None:
    label = ui.label(f"{k.label}: {k.start:g}")

    async def moved(e: events.ValueChangeEventArguments[float | None]) -> None:
        values[k.key] = float(e.value or 0)
        label.set_text(f"{k.label}: {values[k.key]:g}")
        await show()

    ui.slider(min=k.low, max=k.high, step=k.step, value=k.start, on_change=moved).props(f'aria-label="{text(k.label)}"')
