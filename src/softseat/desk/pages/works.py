"""Works records: the tests of each valve as its plan wants them, typed or logged; certificate and labels of those that passed."""

import json
from collections.abc import Mapping
from typing import Any

from fastapi import Request
from nicegui import ui

from softseat.desk import order as works
from softseat.desk.marks import scroll, text
from softseat.desk.order import Works
from softseat.desk.pages.frame import Here, file_box, heard, here, html, page, tell, work
from softseat.desk.pages.testform import TestForm
from softseat.errors import InputError, SoftseatError
from softseat.selection.item import Item
from softseat.store import enquiries, revisions
from softseat.works.certificate import KINDS
from softseat.works.kept import items_of
from softseat.works.record import Result, WorksRecord, checked

HEAD = "<thead><tr><th>Test</th><th>Required</th><th>Measured</th><th>Holds</th></tr></thead>"
HOW = (
    "What was measured on each valve, against the plan of tests that it was offered with. A valve that does not pass gets neither "
    "certificate nor label. Nothing is kept here: take the records away, and bring them back to go on."
)
SIGNS = {True: "● yes", False: "✕ no", None: "○ not made"}


def lay() -> None:
    """Register the pages."""

    @ui.page("/works", response_timeout=20)
    def orders(request: Request) -> None:
        at = here(request)
        with page(at, (("works", ""),), narrow=False):
            html(f"<h1>Works records</h1><p>{HOW}</p>")
            html(_issued(at))

            async def taken(name: str, data: bytes) -> None:
                order = await work(_from_file, name, data)
                out.clear()
                with out:
                    Bench(at, order)

            file_box("or drop the order's items.json here", (".json",), taken)
            out = ui.element("div")

    @ui.page("/works/{number}/{revision}", response_timeout=30)
    async def one(request: Request, number: int, revision: int) -> None:
        at = here(request)
        order = await work(works.issued, at.room, number, revision)
        with page(at, (("works", "/works"), (order.name, "")), narrow=False):
            html(f"<h1>{text(order.name)}</h1><p>{HOW}</p>")
            Bench(at, order)


def _issued(at: Here) -> str:
    rows = "".join(
        f"<tr><td><a href='/works/{e.id}/{r.number}'>{text(e.name)}, revision {r.number}</a></td><td>{text(e.customer)}</td>"
        f"<td>{text(r.note)}</td><td class='small soft'>{text(r.when[:10])}, {text(r.who)}</td></tr>"
        for e in enquiries.listed(at.room.db)
        if e.revisions
        for r in revisions.listed(at.room.db, e.id)
    )
    head = "<thead><tr><th>Issued</th><th>Customer</th><th>For</th><th>When, by whom</th></tr></thead>"
    return (
        scroll(f"<table class='facts'>{head}<tbody>{rows}</tbody></table>", "Issued revisions")
        if rows
        else ("<p class='soft'>Nothing was issued yet: an order is made of a revision. Issue one on the page of its enquiry.</p>")
    )


def _from_file(name: str, data: bytes) -> Works:
    try:
        told = json.loads(data.decode("utf-8-sig"))
    except (UnicodeDecodeError, ValueError):
        raise InputError(f"{name} is no items.json") from None
    if not isinstance(told, list):
        raise InputError(f"{name} is no items.json: wanted is a list of items")
    return Works(name.removesuffix(".json"), items_of(told))


class Bench:
    """One order on one page: a form, what it comes to, and the valves written down so far."""

    def __init__(self, at: Here, order: Works) -> None:
        self.at, self.order = at, order
        self.records: list[dict[str, Any]] = []
        self.found: list[tuple[Item, WorksRecord]] = []
        self.turn = 0
        if not order.planned:
            html("<p>No item of this order is built, so there is no plan of tests.</p>")
            return
        names = {k: f"{i.tag or f'item {i.n}'}: {(i.choice or {})['build']}" for k, i in enumerate(order.planned)}
        with ui.element("div").classes("bar"):
            self.pick = ui.select(names, value=0, label="Valve", with_input=True).props("outlined dense").style("min-width: 34rem")
            self.pick.on_value_change(heard(self._pick))
        with ui.element("div").classes("wide-left"):
            with ui.element("section").props('aria-label="What was measured"'):
                self.form = ui.element("div")
            with ui.element("section").classes("stay").props('aria-label="What it comes to"'):
                self.out = ui.element("div").props('aria-live="polite"')
                ui.button("Write this valve down", on_click=heard(self._keep)).classes("do")
        self.valves = ui.element("section").props('aria-label="Valves written down"')
        ui.timer(0, heard(self._start), once=True)

    async def _start(self, *_: object) -> None:
        await self._pick()
        self._list()

    async def _pick(self, *_: object) -> None:
        await self._fill({})

    async def _fill(self, record: Mapping[str, Any]) -> None:
        item = self.order.planned[int(self.pick.value or 0)]
        limits = await work(works.limits, self.at.room, item)
        self.form.clear()
        with self.form:
            self.boxes = TestForm(item, limits, record, self._look)
        await self._look()

    async def _look(self) -> None:
        self.turn += 1
        mine, record = self.turn, self.boxes.record()
        found = await work(self._judged, self.boxes.item, record)
        if mine != self.turn:
            return  # more was typed meanwhile
        self.out.clear()
        with self.out:
            html(_told(found))

    def _judged(self, item: Item, record: Mapping[str, Any]) -> WorksRecord | str:
        try:
            return works.judged(self.at.room, Works("", (item,)), [record])[0][1]
        except SoftseatError as error:
            return str(error)

    async def _keep(self, *_: object) -> None:
        """The valve joins the list; one of the same tag and number is replaced."""
        record = self.boxes.record()
        same = [r for r in self.records if (r.get("tag"), r.get("serial")) != (record.get("tag"), record.get("serial"))]
        await self._judge([*same, record])
        tell(f"{record.get('tag', '')} no. {record.get('serial', '')} is written down")

    async def _judge(self, records: list[dict[str, Any]]) -> None:
        self.found = await work(works.judged, self.at.room, self.order, records)
        self.records = records
        self._list()

    def _list(self) -> None:
        self.valves.clear()
        with self.valves:
            count = len(self.records)
            html(f"<h2>{count or 'No'} valve{'s' if count != 1 else ''} written down</h2>")
            if self.records:
                with ui.element("table").classes("facts"):
                    for k, (_, record) in enumerate(self.found):
                        self._line(k, record)
                self._tools()
            file_box("Bring records back (records.json)", (".json",), self._back)

    def _line(self, k: int, record: WorksRecord) -> None:
        said = "● passed" if record.passed else "✕ not passed"
        why = "; ".join(f"{r.what}: {r.text}" for r in record.faults)
        with ui.element("tr"):
            for cell in (text(record.tag), f"no. {text(record.serial)}", said, f"<span class='small soft'>{text(why)}</span>"):
                with ui.element("td"):
                    html(cell)
            with ui.element("td"):
                again = ui.button("Open", on_click=heard(lambda *_: self._again(k))).classes("flat")
                again.props(f'aria-label="Open {text(record.tag)} {text(record.serial)}"')

    async def _again(self, k: int) -> None:
        item, record = self.found[k][0], self.records[k]
        self.pick.set_value(next(n for n, i in enumerate(self.order.planned) if i is item))
        await self._fill(record)

    def _tools(self) -> None:
        with ui.element("div").classes("bar"):
            self.kind = ui.select(list(KINDS), value="3.1", label="Certificate").props("outlined dense").style("width: 8rem")
            self.signed = ui.input("Signed by (else the inspector)").props("outlined dense")
            ui.button("Certificate", on_click=heard(lambda *_: self._paper("certificate.pdf"))).classes("do")
            ui.button("Nameplates and labels", on_click=heard(lambda *_: self._paper("labels.pdf")))
            ui.element("span").classes("grow")
            ui.button("Take the records away", on_click=self._away)

    async def _paper(self, name: str) -> None:
        if not self.at.allowed():
            return
        made = await work(
            works.papers, self.at.room, self.order, self.found, kind=str(self.kind.value), signed=str(self.signed.value or "").strip()
        )
        ui.download(made[name], name, "application/pdf")
        left = sum(not r.passed for _, r in self.found)
        if left:
            tell(f"{left} of {len(self.found)} valves did not pass and stand on no paper")

    def _away(self) -> None:
        ui.download(json.dumps(self.records, ensure_ascii=False, indent=1).encode(), "records.json", "application/json")

    async def _back(self, name: str, data: bytes) -> None:
        try:
            told = json.loads(data.decode("utf-8-sig"))
        except (UnicodeDecodeError, ValueError):
            raise InputError(f"{name} holds no records") from None
        rows = told if isinstance(told, list) else [told]
        if not all(isinstance(r, dict) for r in rows):
            raise InputError(f"{name} holds no records: wanted is one object a valve")
        await self._judge([checked(r) for r in rows])


def _told(found: WorksRecord | str) -> str:
    if isinstance(found, str):
        return f"<h2>Cannot be read</h2><p>{text(found)}</p>"
    done, left = [r for r in found.results if r.passed is not False], found.faults
    head = "<h2>● This valve passes</h2>" if found.passed else f"<h2>✕ It does not pass yet: {len(left)} left</h2>"
    return head + scroll(f"<table class='facts small'>{HEAD}<tbody>{''.join(map(_result, (*left, *done)))}</tbody></table>", "Tests")


def _result(r: Result) -> str:
    why = f"<br><span class='soft'>{text(r.text)}</span>" if r.text else ""
    return f"<tr><td>{text(r.what)}</td><td>{text(r.required)}</td><td>{text(r.measured)}</td><td>{SIGNS[r.passed]}{why}</td></tr>"
