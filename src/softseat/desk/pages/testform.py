"""The form of one valve's plan of tests: what is typed, or logged by the bench, as a works record."""

import re
from collections.abc import Awaitable, Callable, Mapping, Sequence
from typing import Any

from nicegui import ui

from softseat.desk.marks import text
from softseat.desk.pages.frame import file_box, html
from softseat.errors import InputError
from softseat.selection.item import Item
from softseat.tables import Row
from softseat.works.record import PARTS, wanted

BETWEEN = re.compile(r"[;\n]|,\s+|\s+(?=[\d.])")  # between readings typed in one box
LOGS = (".csv", ".txt")
PLAIN = (
    ("serial", "Serial number", ""),
    ("date", "Tested on", "2026-11-02"),
    ("inspector", "Inspector", ""),
    ("liner_batch", "Liner batch", ""),
    ("cure_date", "Liner cured on", "2026-05-04"),
    ("remarks", "Remarks", ""),
)
HOLD = (("pressure", "pressure, bar(g)"), ("time", "held for, s"), ("leak", "leak, or none"))
HINTS = {"seen": "ok, or what was found", "age": "as cured on above"}
GAUGES = "Gauges, with the day until which each is calibrated"
DAY = re.compile(r"^(.*?)\s+(\d{4}-\d{2}-\d{2})$")


class TestForm:
    """The boxes of one valve; ``record`` is what stands in them."""

    __test__ = False  # no test of our own

    def __init__(self, item: Item, limits: Mapping[str, str], start: Mapping[str, Any], changed: Callable[[], Awaitable[None]]) -> None:
        self.item, self.start, self.changed = item, start, changed
        self.boxes: dict[tuple[str, str], Any] = {}  # by key of the record and part of it
        self.logs: dict[str, dict[str, str]] = {
            k: {p: v[p] for p in ("log", "log_file") if p in v} for k, v in start.items() if isinstance(v, Mapping) and v.get("log")
        }
        self.tests = list({row["key"]: (line, row) for line, row in wanted(item)}.values())
        with ui.element("table").classes("facts form"):
            self._valve()
            for line, row in self.tests:
                self._test(str(line["characteristic"]), str(line["extent"]), row, limits.get(row["key"], ""))

    def _valve(self) -> None:
        for key, said, hint in PLAIN:
            self._row(said, "", [(key, "", said, hint, self.start.get(key, ""))])
        heat = dict(self.start.get("heat") or {})
        self._row("Heat numbers", "", [("heat", part, f"heat of {part}", part, heat.get(part, "")) for part in PARTS])
        gauges = "; ".join(f"{g.get('id', '')} {g.get('due', '')}".strip() for g in self.start.get("gauges") or ())
        self._row(GAUGES, "", [("gauges", "", GAUGES, "P-12 2027-05-01; T-3 2027-01-31", gauges)])
        with ui.element("tr"), ui.element("td").props("colspan=2"):
            said = "The inspector is independent of the department that made the valve (EN 10204 3.1)"
            self.independent = ui.checkbox(said, value=self.start.get("independent") is True, on_change=self.changed)

    def _test(self, what: str, extent: str, row: Row, limit: str) -> None:
        key, kind, held = row["key"], row["kind"], self.start.get(row["key"])
        aside = "; ".join(t for t in (limit, "" if extent == "each" else f"by {extent}") if t)
        if kind == "hold":
            known = held if isinstance(held, Mapping) else {}
            self._row(what, aside, [(key, p, f"{p}: {what}", hint, known.get(p, "")) for p, hint in HOLD], log=key)
        elif kind == "most" and key == "torque_open":
            known = held if isinstance(held, Mapping) else {"torque": held or ""}
            hints = (("torque", f"torque, {row['unit']}"), ("difference", "at difference, bar"))
            self._row(what, aside, [(key, p, f"{p}: {what}", hint, known.get(p, "")) for p, hint in hints])
        else:
            several = isinstance(held, Sequence) and not isinstance(held, str)
            start = "; ".join(map(str, held or ())) if several else held or ""
            hint = HINTS.get(kind, f"{'measured' if kind == 'most' else 'readings'}, {row['unit']}")
            self._row(what, aside, [(key, "", what, hint, start)])

    def _row(self, said: str, aside: str, boxes: list[tuple[str, str, str, str, Any]], log: str = "") -> None:
        with ui.element("tr"):
            with ui.element("th").props('scope="row"'):
                html(f"{text(said)}<br><span class='soft small'>{text(aside)}</span>" if aside else text(said))
            with ui.element("td"), ui.element("div").classes("boxes"):
                for key, part, name, hint, start in boxes:
                    box = ui.input(value=str(start), placeholder=hint).props(f'outlined dense debounce=300 aria-label="{text(name)}"')
                    box.on_value_change(self.changed)
                    self.boxes[key, part] = box
                if log:
                    self._log(log, said)

    def _log(self, key: str, what: str) -> None:
        """Pressure over time as the bench wrote it, in place of what is typed."""
        told = ui.label(self.logs.get(key, {}).get("log_file", "")).classes("small")

        async def taken(name: str, data: bytes) -> None:
            try:
                self.logs[key] = {"log": data.decode("utf-8-sig"), "log_file": name}
            except UnicodeDecodeError:
                raise InputError(f"{name} is no text in UTF-8") from None
            told.set_text(name)
            await self.changed()

        file_box(f"or the bench's log (.csv): {what}", LOGS, taken).classes("slim")

    def record(self) -> dict[str, Any]:
        """What stands in the boxes, with the keys of a works record; what is empty is not measured."""
        said = {at: str(box.value or "").strip() for at, box in self.boxes.items()}
        made: dict[str, Any] = {key: said[key, ""] for key, _, _ in PLAIN}
        made |= {"tag": self.item.tag, "build": (self.item.choice or {})["build"], "independent": bool(self.independent.value)}
        made |= {"heat": {part: said["heat", part] for part in PARTS}, "gauges": _gauges(said["gauges", ""])}
        for _, row in self.tests:
            made[row["key"]] = self._measured(row["key"], row["kind"], said)
        return {k: v for k, v in made.items() if v not in ("", [], {}, None)}

    def _measured(self, key: str, kind: str, said: Mapping[tuple[str, str], str]) -> Any:
        if (key, "") not in said:
            parts = {part: value for (k, part), value in said.items() if k == key and value}
            return {**parts, **self.logs.get(key, {})}
        value = said[key, ""]
        return [r for r in map(str.strip, BETWEEN.split(value)) if r] if kind in ("readings", "coat") else value


def _gauges(told: str) -> list[dict[str, str]]:
    found = [DAY.match(part.strip()) or part.strip() for part in told.split(";") if part.strip()]
    return [{"id": g} if isinstance(g, str) else {"id": g[1], "due": g[2]} for g in found]
