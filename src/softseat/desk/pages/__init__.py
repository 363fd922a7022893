"""The pages, laid over the HTTP interface in one process."""

import secrets
from importlib.resources import files
from pathlib import Path

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles
from nicegui import ui

from softseat.desk.pages import books, complaint, enquiry, flange, habits, item, learn, login, offers, people, start, taken, works
from softseat.desk.pages.frame import FAVICON, open_for
from softseat.desk.room import Room

PARTS = (start, taken, enquiry, item, offers, learn, books, flange, complaint, works, habits, people)


def lay(app: FastAPI, room: Room) -> None:
    """Register every page and put the web face behind the interface."""
    open_for(room)
    for part in PARTS:
        part.lay()
    app.include_router(login.router)
    app.mount("/desk", StaticFiles(directory=Path(str(files("softseat") / "desk" / "static"))), "static")
    ui.run_with(
        app,
        title="softseat",
        favicon=FAVICON,
        dark=None,
        tailwind=False,
        storage_secret=secrets.token_urlsafe(32),
        show_welcome_message=False,
        reconnect_timeout=30.0,
        session_middleware_kwargs={"same_site": "strict", "https_only": room.secure},
    )
