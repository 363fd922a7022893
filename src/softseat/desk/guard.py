"""The door of the desk: who is there, from where a request comes, how large it is, and headers that keep the browser at home."""

import secrets
from collections import defaultdict
from collections.abc import Mapping
from http.cookies import CookieError, SimpleCookie
from time import monotonic
from typing import Any
from urllib.parse import urlsplit

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from softseat.desk.clock import later, now
from softseat.desk.problems import problem
from softseat.desk.room import ALONE, Room
from softseat.errors import StoreError
from softseat.store import users
from softseat.store.users import Person

MOST_BYTES = 30_000_000  # of one request
TOO_LARGE = f"more than {MOST_BYTES // 1_000_000} MB in one request"
SESSION, CSRF = "softseat_session", "softseat_csrf"
HOURS = 12.0  # a session lasts
TRIES, WINDOW = 5, 300.0  # wrong passwords of one name or one address, in seconds
LOOPBACK = ("127.0.0.1", "localhost", "::1", "[::1]", "testserver")
OPEN = ("/login", "/_nicegui/", "/favicon.ico")
SAFE = ("GET", "HEAD", "OPTIONS")
ASKING = ("/api/calc/", "/api/item", "/api/why", "/api/watch")  # computed, and nothing kept: a reader may
HEADERS = {
    "content-security-policy": (
        "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; style-src 'self' 'unsafe-inline'; "
        "img-src 'self' data: blob:; "
        "font-src 'self' data:; connect-src 'self'; frame-src 'self'; object-src 'self'; base-uri 'self'; form-action 'self'; "
        "frame-ancestors 'self'"
    ),
    "x-content-type-options": "nosniff",
    "x-frame-options": "SAMEORIGIN",
    "referrer-policy": "no-referrer",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
HERE = Person(0, ALONE, "lead")


class Guard:
    """Stands before everything, web sockets too."""

    def __init__(self, app: ASGIApp, room: Room) -> None:
        self.app, self.room = app, room

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        headers = {k.decode("latin-1").lower(): v.decode("latin-1") for k, v in scope["headers"]}
        cookies = read_cookies(headers.get("cookie", ""))
        try:
            person = self.person(headers, cookies)
        except StoreError as error:
            await self._refuse(scope, receive, send, 503, str(error))
            return
        scope.setdefault("state", {})["person"] = person
        refusal = self._refusal(scope, headers, cookies, person)
        if refusal is not None:
            await self._refuse(scope, receive, send, *refusal)
            return
        await self.app(scope, _counted(receive), self._sealed(scope, send))

    def person(self, headers: Mapping[str, str], cookies: Mapping[str, str]) -> Person | None:
        """Who asks: a token of a program, a session of a browser; on the loopback the one who sits there."""
        if not self.room.login:
            return HERE
        kind, _, secret = headers.get("authorization", "").partition(" ")
        if kind.lower() == "bearer" and secret:
            return users.holder(self.room.db, secret.strip(), "token", now())
        secret = cookies.get(SESSION, "")
        return users.holder(self.room.db, secret, "session", now()) if secret else None

    def _refusal(
        self, scope: Scope, headers: Mapping[str, str], cookies: Mapping[str, str], person: Person | None
    ) -> tuple[int, str] | None:
        host, origin = headers.get("host", ""), headers.get("origin", "")
        if not self.room.login and _name(host) not in LOOPBACK:
            return 400, f"this desk answers on its own machine only, not as {host!r}"
        if origin and origin != "null" and urlsplit(origin).netloc != host:
            return 403, "a page of another site may not ask here"
        if headers.get("sec-fetch-site") == "cross-site" and scope.get("method", "GET") not in SAFE:
            return 403, "a page of another site may not ask here"
        if int(headers.get("content-length") or 0) > MOST_BYTES:
            return 413, TOO_LARGE
        return self._role(scope, headers, cookies, person)

    def _role(self, scope: Scope, headers: Mapping[str, str], cookies: Mapping[str, str], person: Person | None) -> tuple[int, str] | None:
        path, method = scope["path"], scope.get("method", "GET")
        if person is None:
            return None if path.startswith(OPEN) and scope["type"] == "http" else (401, "who are you? log in, or send a token")
        if path.startswith("/api/") and method not in SAFE:
            needed = "reader" if path.startswith(ASKING) else "engineer"
            if not person.may(needed):
                return 403, f"a {person.role} may look, not change; an {needed} may"
            if self.room.login and "authorization" not in headers and not _same(headers.get("x-csrf-token", ""), cookies.get(CSRF, "")):
                return 403, "the token against forged requests is missing: send the cookie's value as X-CSRF-Token"
        return None

    async def _refuse(self, scope: Scope, receive: Receive, send: Send, status: int, detail: str) -> None:
        if scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 1008, "reason": detail[:100]})
            return
        wants_page = "text/html" in Request(scope).headers.get("accept", "") and not scope["path"].startswith("/api/")
        answer: Any = problem(status, detail, scope["path"])
        if status == 401 and wants_page:
            answer.status_code, answer.body = 303, b""
            answer.headers["location"], answer.headers["content-length"] = "/login", "0"
        await answer(scope, receive, self._sealed(scope, send))

    def _sealed(self, scope: Scope, send: Send) -> Send:
        async def sealed(message: Message) -> None:
            if message["type"] == "http.response.start":
                extra = {**HEADERS, **({"strict-transport-security": "max-age=31536000"} if self.room.secure else {})}
                if scope["path"].startswith("/api/"):
                    extra["cache-control"] = "no-store"
                held = {k.lower() for k, _ in message["headers"]}
                message["headers"] = [*message["headers"], *((k.encode(), v.encode()) for k, v in extra.items() if k.encode() not in held)]
            await send(message)

        return sealed


def read_cookies(text: str) -> dict[str, str]:
    """Cookies by name; none where the header is no cookie."""
    try:
        return {k: m.value for k, m in SimpleCookie(text).items()}
    except CookieError:
        return {}


def _name(host: str) -> str:
    return host if host.startswith("[") and "]:" not in host else host.rsplit(":", 1)[0]


def _same(one: str, other: str) -> bool:
    return bool(one) and secrets.compare_digest(one.encode(), other.encode())


def _counted(receive: Receive) -> Receive:
    """The body as it comes, however long it said it is."""
    total = 0

    async def counted() -> Message:
        nonlocal total
        message = await receive()
        if message["type"] == "http.request":
            total += len(message.get("body", b""))
            if total > MOST_BYTES:
                raise HTTPException(413, TOO_LARGE)
        return message

    return counted


class Tries:
    """Wrong passwords, by name and by address: after a few the door stays shut for a while."""

    def __init__(self) -> None:
        self.wrong: dict[str, list[float]] = defaultdict(list)

    def shut(self, *keys: str) -> bool:
        start = monotonic() - WINDOW
        for key in keys:
            self.wrong[key] = [t for t in self.wrong[key] if t > start]
        return any(len(self.wrong[key]) >= TRIES for key in keys)

    def count(self, *keys: str) -> None:
        for key in keys:
            self.wrong[key].append(monotonic())


def session_ends() -> str:
    """When a session that begins now is over."""
    return later(HOURS)
