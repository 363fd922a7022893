"""Line ratings and drillings: PN, Class, BS 10 tables, JIS K; the face that is typed beside them."""

import functools
import re

from softseat.enquiry.folding import plain
from softseat.enquiry.reading import Column, Said, unreadable
from softseat.sheet import ASSUMED, GIVEN
from softseat.tables import index

_CLASSES = ("75", "125", "150", "250", "300", "400", "600", "900", "1500", "2500")
_PNS = ("2.5", "6", "10", "16", "20", "25", "40", "50", "63", "64", "100")
_CLASS = "|".join(_CLASSES)
FORMS = (
    ("PN", re.compile(r"\b(?:pn|np|nd)\s*-?\s*(1[.,]6|0[.,]6|1[.,]0|2[.,]5|4[.,]0)\s*mpa")),
    ("PN", re.compile(r"\b(?:pn|np|nd)\s*-?\s*(\d+(?:[.,]\d+)?)")),
    ("K", re.compile(r"\b(?:jis\s*)?(5|10|16|20|30|40)\s*k\b")),
    ("Table", re.compile(r"\b(?:table|tab\.?|tbl\.?)\s*([defh])\b|\bt/?\s*([def])\b|(?<!\d)(?<!\d )\bt/?\s*(h)\b")),  # 45 t/h is a flow
    ("Class", re.compile(rf"(?:#\s*)({_CLASS})\b|\b({_CLASS})\s*(?:#|lbs?\b|rf\b|ff\b|rtj\b|libras\b)")),
    ("Class", re.compile(rf"\b(?:class|cl\.?|classe|clase|klasse|ansi|asme|asa|b16\.\d+)\s*-?\s*(?:class|cl\.?|b16\.\d+)?\s*({_CLASS})\b")),
)
_FACE = re.compile(r"(?<![a-z])(rf|ff|rtj)(?![a-z])")
SYSTEMS = (
    (re.compile(r"en\s*1092-?\s*([12])"), "EN 1092-{0}"),
    (re.compile(r"en\s*1092"), "EN 1092"),
    (re.compile(r"b\s?16\.?47\s*(?:series|ser\.?)?\s*([ab])?"), "ASME B16.47 {0}"),
    (re.compile(r"b\s?16\.?(5|1|42|24)\b"), "ASME B16.{0}"),
    (re.compile(r"bs\s*10\b"), "BS 10"),
    (re.compile(r"bs\s*4504"), "BS 4504"),
    (re.compile(r"as\s*2129"), "AS 2129"),
    (re.compile(r"as\s*4087"), "AS 4087"),
    (re.compile(r"jis\s*b?\s*22(10|20|38|39)"), "JIS B22{0}"),
    (re.compile(r"\bjis\b"), "JIS B2220"),
    (re.compile(r"din\s*(2501|2\d{3})"), "DIN {0}"),
    (re.compile(r"gost\s*(\d+)"), "GOST {0}"),
    (re.compile(r"awwa\s*c?\s*207"), "AWWA C207"),
)


@functools.cache
def rating(text: str) -> tuple[str, str] | None:
    """System and rating of a text: ``("Class", "Class 150")``; None where it names none."""
    low = plain(text)
    for system, form in FORMS:
        if found := form.search(low):
            figure = next(g for g in found.groups() if g).replace(",", ".")
            if "mpa" in found.group():
                figure = f"{float(figure) * 10:g}"
            return system, {"PN": f"PN{figure}", "K": f"{figure}K", "Table": f"Table {figure.upper()}", "Class": f"Class {figure}"}[system]
    return None


@functools.cache
def drilling(text: str) -> str:
    """The standard of a drilling that a text names; "" where it names none."""
    low = plain(text)
    for form, name in SYSTEMS:
        if found := form.search(low):
            return name.format(*((g or "").upper() for g in found.groups())).strip()
    return ""


def rating_said(text: str, column: Column) -> tuple[Said, ...]:
    """Rating, its system, its PN number, and the face and drilling typed with it."""
    said = _face(text) + _drilling(text)
    if found := rating(text):
        return (*_rated(*found, GIVEN, ""), *said)
    bare = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*(bar)?", plain(text))
    figure = bare.group(1).replace(",", ".") if bare else ""
    if figure in _PNS and column.unit != "Class":
        told = column.unit == "PN" and not (bare and bare.group(2))
        return _rated("PN", f"PN{figure}", GIVEN if told else ASSUMED, "" if told else f"{text!r} read as PN{figure}")
    if figure in _CLASSES:
        told = column.unit == "Class"
        return _rated("Class", f"Class {figure}", GIVEN if told else ASSUMED, "" if told else f"{text!r} read as Class {figure}")
    return said or unreadable("rating", f"{text!r} is no rating: PN16, Class 150, Table E, 10K")


def _rated(system: str, name: str, state: int, why: str) -> tuple[Said, ...]:
    said = [Said("rating", name, state, why), Said("rating_system", system, state, why)]
    known = index("nominal_ratings", "rating").get(name)
    pn = float(name[2:]) if system == "PN" else float(known["pn"]) if known else None
    return (*said, Said("pn", pn, state, why)) if pn is not None else tuple(said)


def _face(text: str) -> tuple[Said, ...]:
    found = _FACE.search(plain(text))
    return (Said("flange_face", found.group(1).upper()),) if found else ()


def _drilling(text: str) -> tuple[Said, ...]:
    name = drilling(text)
    return (Said("system", f"{name} {r[1]}" if (r := rating(text)) else name),) if name else ()
