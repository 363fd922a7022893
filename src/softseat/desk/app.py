"""One application: the HTTP interface, and the pages over the same store."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

from fastapi import FastAPI

from softseat import __version__
from softseat.desk import api_calc, api_enquiries, api_offers, api_service, api_works
from softseat.desk.guard import Guard
from softseat.desk.problems import answer_problems
from softseat.desk.room import Room


def api_app(room: Room) -> FastAPI:
    """The HTTP interface alone, behind the guard."""

    @asynccontextmanager
    async def alive(_app: FastAPI) -> AsyncIterator[None]:
        yield
        room.close()

    app = FastAPI(
        title="softseat",
        version=__version__,
        summary="Enquiries for rubber-lined butterfly valves",
        lifespan=alive,
        docs_url=None,
        redoc_url=None,
    )
    app.state.room = room
    for part in (api_enquiries, api_offers, api_calc, api_service, api_works):
        app.include_router(part.router)
    answer_problems(app)
    app.add_middleware(Guard, room=room)
    return app


def full_app(room: Room) -> Any:
    """Pages and interface in one process."""
    from softseat.desk.pages import lay

    app = api_app(room)
    lay(app, room)
    return app
