"""The first screen: the phone box, taking an enquiry in, and the enquiries on the desk."""

from html import escape
from importlib.resources import files

from fastapi import Request
from nicegui import ui

from softseat.desk.intake import take_in
from softseat.desk.marks import scroll
from softseat.desk.pages.frame import Here, file_box, heard, here, html, page, work
from softseat.desk.pages.phone import phone_box
from softseat.desk.schedule import KINDS, pasted
from softseat.store import customers, enquiries


def lay() -> None:
    """Register the page."""

    @ui.page("/")
    def desk(request: Request) -> None:
        at = here(request)
        with page(at, (), title="Desk"):
            html("<h1>What is asked for?</h1>")
            phone_box(at)
            with ui.element("div").classes("two"):
                with ui.element("section"):
                    _take(at)
                with ui.element("section"):
                    _list(at)


def _take(at: Here) -> None:
    html("<h2>Take an enquiry in</h2>")
    names = sorted({*customers.customers(at.room.db), *(e.customer for e in enquiries.listed(at.room.db) if e.customer)})
    customer = (
        ui.input("Customer (his habits are remembered)", autocomplete=names)
        .props("outlined dense")
        .style("width: 100%; margin-bottom: .5rem")
    )

    html("<p class='small'><a href='/customers'>What is remembered of customers</a></p>")

    async def take(name: str, data: bytes) -> None:
        if at.allowed():
            number = await work(take_in, at.room, at.who, name, data, (customer.value or "").strip())
            ui.navigate.to(f"/enquiry/{number}")

    file_box(f"Drop the buyer's file here, or choose it ({', '.join(KINDS)})", KINDS, take)
    with ui.element("div").classes("take"):
        table = (
            ui.textarea("or paste the cells, with their heading row").props("outlined dense rows=3").style("width: 100%; margin: .5rem 0")
        )

    async def paste() -> None:
        await take("pasted table.tsv", pasted(table.value or ""))

    async def demo() -> None:
        await take("waterworks.csv", (files("softseat") / "demo" / "waterworks.csv").read_bytes())

    with ui.element("div").classes("bar"):
        ui.button("Read the pasted cells", on_click=heard(paste))
        ui.button("Take in the invented example", on_click=heard(demo))


def _list(at: Here) -> None:
    html("<h2>On the desk</h2>")
    found = enquiries.listed(at.room.db)
    if not found:
        html('<p class="soft">Nothing yet. The invented example shows what an enquiry looks like here.</p>')
        return
    lines = [
        f'<tr><td><a href="/enquiry/{e.id}">{escape(e.name)}</a></td><td>{escape(e.customer)}</td>'
        f'<td class="n">{e.revisions or ""}</td><td class="small soft">{_when(e.made_at)}, {escape(e.made_by)}</td></tr>'
        for e in found
    ]
    head = "<thead><tr><th>Enquiry</th><th>Customer</th><th class='n'>Issued</th><th>Taken in</th></tr></thead>"
    html(scroll(f'<table class="facts">{head}<tbody>{"".join(lines)}</tbody></table>', "Enquiries on the desk"))


def _when(moment: str) -> str:
    return escape(moment[:16].replace("T", " "))
