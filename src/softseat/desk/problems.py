"""Errors of the HTTP interface as problem details (RFC 9457): what is wrong, where, and what is allowed."""

from collections.abc import Mapping
from http import HTTPStatus

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from softseat.errors import DataError, InputError, PaperError, SoftseatError, StoreError, UnknownName
from softseat.store.records import Conflict, NotKept

MEDIA = "application/problem+json"
# the first that fits counts
STATUS: tuple[tuple[type[Exception], int], ...] = (
    (NotKept, 404),
    (Conflict, 409),
    (StoreError, 503),
    (UnknownName, 422),
    (InputError, 422),
    (PaperError, 500),
    (DataError, 500),
    (SoftseatError, 422),
)
TITLES = {
    404: "Not kept here",
    409: "Changed meanwhile",
    412: "Changed meanwhile",
    413: "Too large",
    422: "Cannot be used",
    428: "Which version?",
}


class Problem(Exception):
    """An answer with this status and these words."""

    def __init__(self, status: int, detail: str, headers: Mapping[str, str] | None = None) -> None:
        super().__init__(detail)
        self.status, self.detail, self.headers = status, detail, headers


def problem(status: int, detail: str, instance: str = "", headers: Mapping[str, str] | None = None) -> JSONResponse:
    """The answer."""
    title = TITLES.get(status) or HTTPStatus(status).phrase
    told = {"type": "about:blank", "title": title, "status": status, "detail": detail, "instance": instance}
    return JSONResponse(told, status, headers=dict(headers or {}), media_type=MEDIA)


def answer_problems(app: FastAPI) -> None:
    """Every error of this application leaves as a problem."""

    @app.exception_handler(Problem)
    async def own(request: Request, error: Problem) -> JSONResponse:
        return problem(error.status, error.detail, request.url.path, error.headers)

    @app.exception_handler(SoftseatError)
    async def ours(request: Request, error: SoftseatError) -> JSONResponse:
        status = next(code for kind, code in STATUS if isinstance(error, kind))
        if status == 409 and request.headers.get("if-match"):
            status = 412
        return problem(status, str(error), request.url.path)

    @app.exception_handler(RequestValidationError)
    async def unreadable(request: Request, error: RequestValidationError) -> JSONResponse:
        told = "; ".join(f"{'.'.join(str(p) for p in e['loc'])}: {e['msg']}" for e in error.errors())
        return problem(422, told, request.url.path)

    @app.exception_handler(HTTPException)
    async def refused(request: Request, error: HTTPException) -> JSONResponse:
        return problem(error.status_code, str(error.detail), request.url.path, error.headers)

    @app.exception_handler(Exception)
    async def unforeseen(request: Request, error: Exception) -> JSONResponse:
        return problem(500, "a fault of the desk itself; nothing was changed", request.url.path)
