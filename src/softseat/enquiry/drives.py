"""Cells of operator, duty and service: the drive, what hangs on it, the fail position, on-off or control."""

import re

from softseat.enquiry.choices import choice_said, matched
from softseat.enquiry.folding import plain
from softseat.enquiry.reading import Column, Said
from softseat.sheet import UNREADABLE

_BESIDE = re.compile(r"\s*(?:\+|\bwith\b|\bw/|\bmit\b|\bavec\b|\bcon\b|\bcom\b|&)\s*", re.I)
_HANDWHEEL = re.compile(r"hand\s?wheel|handrad|volant|volante|volantino")
FAILS = re.compile(r"\b(?:(?:fail|fails|spring|feder|ressort|muelle|molla)\b|a?f(?:c|o|l|ai)\b|st[co]\b)")
CONTROLS = re.compile(
    r"\b(?:modulating|modulation|modulates?|throttl\w*|regulating|regulat(?:ion|eur)|(?:flow|level|pressure|temperature|ph) control"
    r"|control (?:valve|duty)|regel\w*|modulant\w*|regolazione|regulacion|regulacao|drossel\w*|estrangul\w*)\b"
)


def operator_said(text: str, column: Column) -> tuple[Said, ...]:
    """``Pneu DA + positioner``, ``Pneu FC``, ``Gear with extension spindle``, ``Electric modulating``."""
    main, beside = _parted(text)
    said = list(choice_said(main, column))
    if said and said[0].state == UNREADABLE and beside:
        said = list(choice_said(text, column))
    if beside:
        said.append(Said("accessories", beside))
    if fails := fail_phrase(text):
        said.append(Said("fail", fails[2]))
    if found := duty(text, operator=True):
        said.append(Said("duty", found))
    return tuple(said)


def _parted(text: str) -> tuple[str, str]:
    """The drive, and what hangs on it; the handwheel of a gear belongs to the gear."""
    parts = _BESIDE.split(text, maxsplit=1)
    alone = len(parts) < 2 or not parts[0] or not parts[1] or _HANDWHEEL.fullmatch(plain(parts[1])) is not None
    return (text, "") if alone else (parts[0], parts[1])


def fail_phrase(text: str) -> tuple[int, int, str] | None:
    """Where a text names a fail position, and which; open and close alone are movements, not failures."""
    for found in FAILS.finditer(text.lower()):
        rest = text[found.start() :].split(" ")
        for count in (3, 2, 1):
            phrase = " ".join(rest[:count])
            match = matched("fail", phrase)
            if match.exact and match.key != "indeterminate":
                return found.start(), found.start() + len(phrase), match.key
    return None


def duty(text: str, operator: bool = False) -> str:
    """``control`` where the words say that the valve regulates; ``onoff`` where an operator or duty cell says so; else "" ."""
    low = plain(text)
    if CONTROLS.search(low) or (operator and re.search(r"\bmod\b|\bcontrol\b", low)):
        return "control"
    if operator and re.search(r"\bon\s?[-/]\s?off\b|\bopen\s?[-/]\s?close|\bauf\s?/\s?zu\b|\btout ou rien\b|\btor\b", low):
        return "onoff"
    return ""


def duty_said(text: str, column: Column) -> tuple[Said, ...]:
    """The column of duty; words that are in no list stay text of the service."""
    found = duty(text, operator=True) or matched("duty", text, 3).key
    return (Said("duty", found),) if found else (Said("service", text),)


def service_said(text: str, column: Column) -> tuple[Said, ...]:
    """The service as typed, and the duty that it betrays."""
    found = duty(text)
    return (Said("service", text), Said("duty", found)) if found else (Said("service", text),)
