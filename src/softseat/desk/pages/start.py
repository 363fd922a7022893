"""The first screen: the phone box, taking an enquiry in, and the enquiries on the desk."""

from html import escape
from importlib.resources import files

from fastapi import Request
from nicegui import events, ui

from softseat.desk.guard import MOST_BYTES
from softseat.desk.intake import take_in
from softseat.desk.pages.frame import Here, heard, here, html, page, tell, work
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

    async def dropped(e: events.UploadEventArguments) -> None:
        await take(e.file.name, await e.file.read())

    async def take(name: str, data: bytes) -> None:
        if at.allowed():
            number = await work(take_in, at.room, at.who, name, data, (customer.value or "").strip())
            ui.navigate.to(f"/enquiry/{number}")

    upload = ui.upload(
        label=f"Drop the buyer's file here, or choose it ({', '.join(KINDS)})", auto_upload=True, max_files=1, max_file_size=MOST_BYTES
    )
    upload.on_upload(heard(dropped))
    upload.on_rejected(lambda: tell(f"the file is larger than {MOST_BYTES // 1_000_000} MB or is not one file"))
    upload.props(f'accept="{",".join(KINDS)}" flat')
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
    html(f'<div class="scroll"><table class="facts">{head}<tbody>{"".join(lines)}</tbody></table></div>')


def _when(moment: str) -> str:
    return escape(moment[:16].replace("T", " "))
