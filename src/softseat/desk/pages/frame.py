"""The frame of every page: the line at the top with the way back, who is here, light or dark; and what a page may do."""

import asyncio
import functools
from collections.abc import Awaitable, Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from html import escape
from typing import Any, TypeVar

from fastapi import Request
from nicegui import app as nicegui_app
from nicegui import events, ui

from softseat.desk.guard import MOST_BYTES
from softseat.desk.room import Room
from softseat.errors import SoftseatError
from softseat.store import users
from softseat.store.users import Person

T = TypeVar("T")
FAVICON = (
    "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 16 16'><circle cx='8' cy='8' r='6.5' fill='none' stroke='#1d1b18' "
    "stroke-width='1.6'/><path d='M4 12 12 4' stroke='#1d1b18' stroke-width='2.2'/></svg>"
)
HEAD = (
    '<link rel="stylesheet" href="/desk/desk.css"><script defer src="/desk/desk.js"></script>'
    '<script>document.documentElement.lang="en"</script>'
)
PLACES = (
    ("Learn", "/learn"),
    ("Flange?", "/flange"),
    ("Leaks?", "/complaint"),
    ("Drifts?", "/strokes"),
    ("Works", "/works"),
    ("Rulebook", "/rulebook"),
    ("Handbook", "/handbook"),
    ("Maker's data", "/maker"),
)
_rooms: list[Room] = []


def open_for(room: Room) -> None:
    """The room that the pages of this process show."""
    _rooms[:] = [room]


@dataclass(frozen=True, slots=True)
class Here:
    """The room and the person at one page."""

    room: Room
    person: Person

    @property
    def who(self) -> str:
        return self.person.name

    def may(self, role: str) -> bool:
        """Asked anew at every change: a person may have been put out while the page stood open."""
        if not self.room.login:
            return True
        return any(p.name == self.person.name and p.may(role) for p in users.people(self.room.db))

    def allowed(self, role: str = "engineer") -> bool:
        """True, or the page says why not."""
        if self.may(role):
            return True
        tell(f"as {self.person.role} you may look, not change; this wants a person of the role {role}")
        return False


def here(request: Request) -> Here:
    """Room and person of this request."""
    return Here(_rooms[0], request.state.person)


@contextmanager
def page(at: Here, crumbs: Sequence[tuple[str, str]], *, narrow: bool = True, title: str = "") -> Iterator[None]:
    """Head and main part of a page; ``crumbs`` lead from the desk to here."""
    ui.add_head_html(HEAD)
    ui.page_title(f"{title or (crumbs[-1][0] if crumbs else 'Desk')} – softseat")
    ui.html('<a class="skip" href="#main">To the content</a>', sanitize=False)
    dark = ui.dark_mode(nicegui_app.storage.user.get("dark"))
    with ui.element("header").classes("head"):
        with ui.element("nav").classes("crumbs").props('aria-label="You are here"'):
            ui.link("softseat desk", "/").classes("word")
            for text, target in crumbs[:-1]:
                ui.link(text, target)
            if crumbs:
                ui.label(crumbs[-1][0]).props('aria-current="page"')
        with ui.element("nav").props('aria-label="Books"'):
            for text, target in PLACES:
                ui.link(text, target)
            if at.room.login:
                ui.link(at.who, "/people")
            ui.button("light / dark", on_click=lambda: _turn(dark)).props('aria-label="Light or dark"').classes("flat")
    with ui.element("div").classes("leaf narrow" if narrow else "leaf").props('id="main" tabindex="-1"'):
        yield


def _turn(dark: Any) -> None:
    dark.value = not dark.value
    nicegui_app.storage.user["dark"] = dark.value


def tell(text: str) -> None:
    """A line at the foot that a screen reader speaks."""
    ui.notify(text, position="bottom-left", timeout=6000, close_button="close", multi_line=True)


async def work(function: Callable[..., T], *args: Any, **kwargs: Any) -> T:
    """In a thread, so that every page stays alive."""
    return await asyncio.to_thread(function, *args, **kwargs)


def heard(action: Callable[..., Awaitable[None]]) -> Callable[..., Awaitable[None]]:
    """A mistake of the user becomes a sentence on the page, never a broken page."""

    @functools.wraps(action)
    async def heard_action(*args: Any) -> None:
        try:
            await action(*args)
        except SoftseatError as error:
            tell(str(error))

    return heard_action


@contextmanager
def dialog(title: str, width: str = "42rem") -> Iterator[ui.dialog]:
    """A card over the page, with its name above it and for a screen reader."""
    with ui.dialog().props(f'aria-label="{escape(title)}"') as made, ui.card().style(f"width: {width}; max-width: 96vw"):
        ui.label(title).props('role="heading" aria-level="2"').classes("title")
        yield made


def file_box(label: str, kinds: Sequence[str], taken: Callable[[str, bytes], Awaitable[None]]) -> ui.upload:
    """A box that takes one file after the other: dropped, or chosen."""
    box = ui.upload(label=label, auto_upload=True, max_file_size=MOST_BYTES)

    async def dropped(e: events.UploadEventArguments) -> None:
        data = await e.file.read()
        box.reset()  # empty again for the next one, and no list of files beside what the page tells of them
        await taken(e.file.name, data)

    box.on_upload(heard(dropped))
    box.on_rejected(lambda: tell(f"the file is larger than {MOST_BYTES // 1_000_000} MB, or none of {', '.join(kinds)}"))
    return box.props(f'accept="{",".join(kinds)}" flat')


def html(content: str, classes: str = "") -> ui.html:
    """Own HTML: every text in it was made fit with ``marks.text``."""
    return ui.html(content, sanitize=False).classes(classes)
