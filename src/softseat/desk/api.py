"""What all parts of the HTTP interface share: the room, who asks, numbers, and the problems that an answer may be."""

from typing import Annotated, Any

from fastapi import Depends, Request
from pydantic import Field

from softseat.desk.room import Room

PROBLEM: dict[str, Any] = {"description": "What is wrong, and what is allowed", "content": {"application/problem+json": {}}}
ERRORS: dict[int | str, dict[str, Any]] = dict.fromkeys((400, 401, 403, 404, 409, 413, 422, 503), PROBLEM)
VERSIONED = {**ERRORS, 412: PROBLEM, 428: PROBLEM}


def _room(request: Request) -> Room:
    room: Room = request.app.state.room
    return room


def _who(request: Request) -> str:
    return str(request.state.person.name)


Here = Annotated[Room, Depends(_room)]
Who = Annotated[str, Depends(_who)]
Number = Annotated[int, Field(ge=1, le=2**31 - 1)]
