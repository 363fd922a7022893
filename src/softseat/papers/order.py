"""The frame of a letter: who asked, under what reference, when. Without it the papers carry no date."""

import tomllib
from dataclasses import dataclass, fields
from datetime import date
from pathlib import Path
from typing import Any

from softseat.errors import InputError


@dataclass(frozen=True, slots=True)
class Order:
    """Texts are printed as given; the letter head is SVG text."""

    buyer: str = ""
    reference: str = ""
    revision: str = ""
    date: str = ""
    validity: str = ""
    prepared_by: str = ""
    letterhead: str = ""


def read_order(path: Path) -> Order:
    """An order file (TOML).

    Raises
    ------
    InputError
        Where the file cannot be read, is no TOML, or holds a word that is not known.
    """
    try:
        told = tomllib.loads(path.read_text("utf-8-sig"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise InputError(f"order file {path}: {_why(error)}") from None
    allowed = [f.name for f in fields(Order)]
    for key, value in told.items():
        if key.replace(" ", "_") not in allowed:
            raise InputError(f"order file {path}: {key!r} is not known; allowed are {', '.join(allowed)}")
        if not isinstance(value, str | int | float | date):
            raise InputError(f"order file {path}: {key} is {type(value).__name__}; a text, a number or a date is allowed")
    held = {key.replace(" ", "_"): _said(value) for key, value in told.items()}
    if held.get("letterhead"):
        held["letterhead"] = _drawing(path, held["letterhead"])
    return Order(**held)


def _said(value: Any) -> str:
    return value.isoformat() if isinstance(value, date) else str(value)


def _why(error: Exception) -> str:
    return str(error.strerror) if isinstance(error, OSError) else f"is no TOML text ({error})"


def _drawing(order: Path, name: str) -> str:
    """The letter head, named relative to the order file."""
    place = order.parent / name
    try:
        drawn = place.read_text("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"order file {order}: letterhead {name}: {_why(error)}; an SVG file is allowed") from None
    if "<svg" not in drawn:
        raise InputError(f"order file {order}: letterhead {name} is no SVG file")
    return drawn
