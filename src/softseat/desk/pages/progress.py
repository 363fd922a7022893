"""Long work on a page: how far it is, and a way to stop it; the page stays alive meanwhile."""

from collections.abc import Callable
from typing import Any, TypeVar

from nicegui import ui

from softseat.desk.bench import Cancelled
from softseat.desk.pages.frame import tell, work
from softseat.errors import SoftseatError

T = TypeVar("T")
LOOK = 0.2  # seconds between two looks at how far it is


class Bar:
    """A line that tells how far the work is; hidden while there is none."""

    def __init__(self) -> None:
        self.state: dict[str, Any] = {"what": "", "done": 0, "total": 1, "stop": False}
        with ui.element("div").classes("bar").props('role="status" aria-live="polite"') as self.row:
            self.label = ui.label("")
            self.line = ui.linear_progress(0, show_value=False).props('aria-label="How far the work is"').style("width: 18rem")
            ui.button("Stop", on_click=self._stop)
        self.row.set_visibility(False)
        self.timer = ui.timer(LOOK, self._show, active=False)

    def _stop(self) -> None:
        self.state["stop"] = True

    def _show(self) -> None:
        s = self.state
        self.label.set_text(f"{s['what']} {s['done']} of {s['total']}" if s["total"] > 1 else f"{s['what']} …")
        self.line.set_value(s["done"] / max(1, s["total"]))

    def _tick(self, what: str, done: int, total: int) -> None:
        self.state.update(what=what, done=done, total=total)
        if self.state["stop"]:
            raise Cancelled("stopped; nothing was changed by it")

    async def run(self, function: Callable[..., T], *args: Any, **kwargs: Any) -> T | None:
        """The result of ``function(..., progress=...)``; None where it was stopped or could not be done, and the page says so."""
        self.state.update(what="reading", done=0, total=1, stop=False)
        self.row.set_visibility(True)
        self.timer.activate()
        try:
            return await work(function, *args, progress=self._tick, **kwargs)
        except SoftseatError as error:
            tell(str(error))
            return None
        finally:
            self.timer.deactivate()
            self.row.set_visibility(False)
