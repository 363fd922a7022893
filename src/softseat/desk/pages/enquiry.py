"""The page of an enquiry: the band, the table, answers in bulk, undo; computed anew at once."""

from typing import Any

from fastapi import Request
from nicegui import events, ui

from softseat.desk.bench import Decided, Work
from softseat.desk.cells import shown_columns
from softseat.desk.clock import by
from softseat.desk.intake import answer
from softseat.desk.pages import grid as table
from softseat.desk.pages.band import band, word_filter
from softseat.desk.pages.bulk import bulk_dialog
from softseat.desk.pages.frame import Here, dialog, heard, here, html, page, tell, work
from softseat.desk.pages.phone import phone_box
from softseat.desk.pages.progress import Bar
from softseat.desk.schedule import Schedule
from softseat.enquiry.reader import Enquiry
from softseat.store import enquiries
from softseat.store.records import Conflict, Place

MANY = 120  # rows from which the verdicts are shown before their reasons
FEW = 40  # rows that are decided on their own before the whole is


def lay() -> None:
    """Register the page."""

    @ui.page("/enquiry/{number}", response_timeout=20)
    def enquiry(request: Request, number: int) -> None:
        at = here(request)
        kept = enquiries.get(at.room.db, number)
        with page(at, ((kept.name, ""),), narrow=False):
            Table(at, number)


class Table:
    """One open page of one enquiry."""

    def __init__(self, at: Here, number: int) -> None:
        self.at, self.number = at, number
        self.done: Work | None = None
        self.now: Decided | None = None
        self.before: dict[int, tuple[str, str]] = {}
        self.lines: dict[int, dict[str, Any]] = {}  # as the browser has them
        self.only = ""
        self.grid: ui.aggrid | None = None
        html("<h1 class='heard'>Items of the enquiry</h1>")
        self.bar = Bar()
        self.band = ui.element("div")
        self._tools()
        self.body = ui.element("div")
        ui.on("block", heard(self._block))
        ui.on("undo", heard(self._undo))
        ui.timer(0, self.fresh, once=True)

    def _tools(self) -> None:
        with ui.element("div").classes("bar no-print"):
            ui.button("Answer in bulk", on_click=lambda: self._ask("", "", []))
            ui.button("Undo", on_click=heard(self._undo))
            ui.button("Item by phone", on_click=self._phone)
            ui.element("span").classes("grow")
            ui.link("What was read", f"/enquiry/{self.number}/read")
            ui.link("Papers", f"/enquiry/{self.number}/papers")
            ui.link("Revisions", f"/enquiry/{self.number}/revisions")

    async def fresh(self) -> None:
        """The whole enquiry as it stands."""
        bench = self.at.room.bench
        if self.grid is None and len(enquiries.get(self.at.room.db, self.number).rows) > MANY:
            decided = await self.bar.run(bench.decided, self.number)
            if decided is not None:
                self.now = decided
                self._draw(decided.schedule, decided.read, table.verdicts(decided))
        made = await self.bar.run(bench.explained, self.number)
        if made is not None:
            self.show(made)
        if made is not None and made.bare:
            whole = await self.bar.run(bench.work, self.number)
            if whole is not None:
                self.show(whole)

    def show(self, made: Work) -> None:
        """Show it: the table is drawn once, later only its lines move."""
        new_columns = self.done is None or [c.key for c in shown_columns(made.read)] != [c.key for c in shown_columns(self.done.read)]
        if self.done is None:
            self.before = {i.n: table.stand(i) for i in made.items}
        self.done, self.now = made, made.decided
        lines = table.rows(made, self.before)
        if self.grid is None or new_columns or len(self.lines) != len(lines):
            self._draw(made.schedule, made.read, lines)
        else:
            self._update([r for r in lines if self.lines.get(r["n"]) != r])
        self._band()

    def _draw(self, schedule: Schedule, read: Enquiry, lines: list[dict[str, Any]]) -> None:
        self.lines = {r["n"]: r for r in lines}
        self.body.clear()
        with self.body:
            self.grid = ui.aggrid(table.options(read, [dict(r) for r in lines], self.at.may("engineer")), auto_size_columns=False)
            self.grid.props('aria-label="Items of the enquiry"')
            self.grid.on("cellValueChanged", heard(self._edited), ["rowId", "colId", "newValue", "oldValue"])
            self.grid.on("cellDoubleClicked", self._open, ["rowId", "colId"])

    def _update(self, lines: list[dict[str, Any]]) -> None:
        assert self.grid is not None
        if not lines:
            return
        self.lines.update({r["n"]: r for r in lines})
        self.grid.run_grid_method("applyTransaction", {"update": lines})

    def _band(self) -> None:
        assert self.done is not None
        self.band.clear()
        with self.band:
            band(self.number, self.done, self.only, self._filter, self._ask)

    def _filter(self, word: str) -> None:
        self.only = word
        if self.grid is not None:
            self.grid.run_grid_method("setFilterModel", word_filter(word))
        self._band()

    def _open(self, e: events.GenericEventArguments) -> None:
        if e.args.get("colId") in table.OURS:
            ui.navigate.to(f"/enquiry/{self.number}/item/{e.args['rowId']}")

    async def _edited(self, e: events.GenericEventArguments) -> None:
        n, key, new = int(e.args["rowId"]), str(e.args["colId"]), e.args.get("newValue")
        if (e.args.get("oldValue") or "") != (new or ""):
            await self.write([(n - 1, key, str(new or ""))])

    async def _block(self, e: events.GenericEventArguments) -> None:
        """Cells pasted from a spreadsheet, from the cell in focus to the right and down; our own columns are passed over."""
        rows, columns, lines = e.args["rows"], e.args["columns"], e.args["lines"]
        wanted = [
            (int(n) - 1, key, cell)
            for n, cells in zip(rows, lines, strict=False)
            if n is not None
            for key, cell in zip(columns, cells, strict=False)
            if key not in table.OURS
        ]
        await self.write(wanted)

    async def write(self, wanted: list[tuple[int, str, str]]) -> None:
        """Write cells; where another was quicker on one of these rows, say so and show what stands there."""
        if not wanted or self.now is None or not self.at.allowed():
            return
        self._remember()
        places = [(r.sheet, r.row) for r in self.now.read.rows]
        seen = {places[n]: self.now.kept.versions[places[n]] for n, _, _ in wanted if n < len(places)}
        try:
            written = await work(answer, self.at.room, self.at.who, self.number, wanted, seen)
        except Conflict as error:
            tell(str(error))
            await self._again()
            return
        await self._decided(written)

    def _remember(self) -> None:
        """How the items stood, to tell which of them move."""
        if self.done is not None:
            self.before = {i.n: table.stand(i) for i in self.done.items}

    async def _decided(self, places: list[Place]) -> None:
        if len(places) <= FEW:
            await self._quickly(places)
        await self.fresh()

    async def _quickly(self, places: list[Place]) -> None:
        """The rows that were touched, at once; the whole follows."""
        assert self.now is not None
        items = await work(self.at.room.bench.quick, self.number, places)
        held = self.lines
        at = {(r.sheet, r.row): r.n for r in self.now.read.rows}
        lines = []
        for place, item in items.items():
            n = at.get(place)
            if n is not None and n in held:
                told = table.line(item, {}, held[n]["doubt"], self.before.get(n))
                lines.append({**held[n], **told, "n": n, "doubt": held[n]["doubt"]})
        self._update(lines)

    async def _again(self) -> None:
        """Draw what stands now, whatever was typed here."""
        self.grid = None
        await self.fresh()

    async def _undo(self, *_: object) -> None:
        if self.now is None or not self.at.allowed():
            return
        self._remember()
        places = await work(enquiries.undo, self.at.room.db, by(self.at.who), self.number)
        tell(f"taken back in {len(places)} row{'s' if len(places) != 1 else ''}")
        await self._decided(places)

    def _ask(self, field: str, question: str, touched: list[int]) -> None:
        if self.done is not None and self.grid is not None:
            bulk_dialog(self.done, self.grid, field, question, touched, self.write)

    def _phone(self) -> None:
        with dialog("Item by phone", "56rem") as shown:
            phone_box(self.at, self.number, lambda _: ui.navigate.reload())
            ui.button("Close", on_click=shown.close)
        shown.open()
