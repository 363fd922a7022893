"""Who is there: one form, without script."""

import secrets
from html import escape
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from softseat.desk.clock import by
from softseat.desk.guard import CSRF, SESSION, Tries, session_ends
from softseat.desk.room import Room
from softseat.store import audit, users

router = APIRouter(include_in_schema=False)
FORM = """<!doctype html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Log in – softseat</title>
<style>
:root{{color-scheme:light dark;--ink:#1d1b18;--paper:#fbfaf6;--soft:#5d5850}}
@media (prefers-color-scheme:dark){{:root{{--ink:#ece8df;--paper:#161513;--soft:#b1aa9d}}}}
body{{font:1.05rem/1.5 Georgia,serif;max-width:22rem;margin:12vh auto;padding:0 1rem;color:var(--ink);background:var(--paper)}}
label{{display:block;margin:.9rem 0 .2rem}}
input{{width:100%;font:inherit;padding:.4rem;border:1px solid var(--soft);box-sizing:border-box;color:inherit;background:transparent}}
button{{font:inherit;margin-top:1.2rem;padding:.4rem 1.2rem;background:var(--ink);color:var(--paper);border:0}}
:focus-visible{{outline:3px solid var(--ink);outline-offset:2px}}
</style>
<main><h1>softseat desk</h1><p role="alert">{said}</p>
<form method="post" action="/login"><input type="hidden" name="csrf" value="{csrf}">
<label for="name">Name</label><input id="name" name="name" autocomplete="username" required autofocus>
<label for="password">Password</label>
<input id="password" name="password" type="password" autocomplete="current-password" required>
<button type="submit">Log in</button></form></main></html>"""
tries = Tries()


@router.get("/login")
def form(request: Request) -> Response:
    """The form, with a token that only this form knows."""
    return _form(request, "")


@router.post("/login")
def log_in(
    request: Request,
    name: Annotated[str, Form(max_length=100)],
    password: Annotated[str, Form(max_length=1000)],
    csrf: Annotated[str, Form(max_length=100)] = "",
) -> Response:
    """A session, if name and password fit; after a few wrong ones the door stays shut for a while."""
    room: Room = request.app.state.room
    if not csrf or not secrets.compare_digest(csrf, request.cookies.get(CSRF, "")):
        return _form(request, "This form was not ours: try again.", 403)
    keys = (f"name {name.casefold()}", f"from {request.client.host if request.client else ''}")
    if tries.shut(*keys):
        return _form(request, "Too many wrong passwords: wait five minutes.", 429)
    person = users.checked(room.db, name, password)
    if person is None:
        tries.count(*keys)
        return _form(request, "Name and password do not fit.", 401)
    secret = users.new_key(room.db, by(person.name), person.id, "session", session_ends())
    answer = RedirectResponse("/", 303)
    _cookie(room, answer, SESSION, secret, hidden=True)
    _cookie(room, answer, CSRF, secrets.token_urlsafe(24), hidden=False)
    return answer


@router.post("/logout")
def log_out(request: Request) -> Response:
    """The session ends here and in the store."""
    room: Room = request.app.state.room
    if secret := request.cookies.get(SESSION):
        users.end_key(room.db, secret)
        with room.db.writing() as session:
            audit.note(session, by(request.state.person.name), "logged out")
    answer = RedirectResponse("/login", 303)
    answer.delete_cookie(SESSION)
    return answer


def _form(request: Request, said: str, status: int = 200) -> Response:
    token = secrets.token_urlsafe(24)
    answer = HTMLResponse(FORM.format(said=escape(said), csrf=token), status)
    _cookie(request.app.state.room, answer, CSRF, token, hidden=False)
    return answer


def _cookie(room: Room, answer: Response, name: str, value: str, *, hidden: bool) -> None:
    answer.set_cookie(name, value, httponly=hidden, secure=room.secure, samesite="strict", path="/")
