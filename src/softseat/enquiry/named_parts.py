"""Parts of a valve named in running text: style, operator, liner and its build, metals of disc, body and shaft."""

import re

from softseat.enquiry.choices import Match, matched, metal
from softseat.enquiry.folding import fold, plain, words
from softseat.enquiry.reading import Column, Said
from softseat.sheet import GIVEN
from softseat.units import decimal_sign

_MEDIA_TOO = {
    "air",
    "para",
    "silicone",
    "silicon",
    "silikon",
    "butyl",
    "polyurethane",
    "hand",
    "hold",
    "open",
    "opens",
    "close",
    "closes",
    "none",
}


_MEDIA_APPROVED = (
    "gas",
    "drinking water",
    "potable",
    "potable water",
    "food",
    "trinkwasser",
    "eau potable",
    "agua potable",
    "acqua potabile",
)


class Phrase:
    """The words that are left, and what was taken out of them."""

    def __init__(self, text: str) -> None:
        self.left = text
        self.decimal = decimal_sign([text])
        self.said: list[tuple[str, tuple[Said, ...]]] = []

    def take(self, start: int, end: int, said: tuple[Said, ...], keep: bool = False) -> None:
        self.said.append((self.left[start:end].strip(), said))
        if not keep:
            self.left = f"{self.left[:start]} | {self.left[end:]}"

    def column(self, field: str) -> Column:
        return Column("", 0, (field,), "", "", self.decimal)


def take_choices(phrase: Phrase) -> None:
    """Words of fixed lists; a rubber's plain name counts only where it is no medium."""
    for field in ("body_style", "operator", "liner_build", "liner", "removable_side", "approvals"):
        match = _longest(field, phrase.left) if field != "removable_side" else _end_of_line(phrase.left)
        if match is None:
            continue
        start, end, found = match
        typed = phrase.left[start:end]
        said = [Said(field, typed if field == "approvals" else found.key, GIVEN)]
        if field == "liner":
            said.append(Said("liner_typed", typed))
            if not fold(found.typed).startswith(fold(found.key)):
                said.append(Said("liner_old_name", True))
        phrase.take(start, end, tuple(said), keep=field == "approvals" and plain(typed) in _MEDIA_APPROVED)


def _longest(field: str, left: str) -> tuple[int, int, Match] | None:
    """The longest run of words that is a row of this field as a whole."""
    spans = [m.span() for m in re.finditer(r"[^\s|,;]+", left)]
    best = None
    for i in range(len(spans)):
        for j in range(min(len(spans), i + 4), i, -1):
            typed = left[spans[i][0] : spans[j - 1][1]]
            follows = plain(left[spans[j - 1][1] :].strip(" ,")).split(" ")[0]
            medium_too = plain(typed) in _MEDIA_TOO and follows not in ("liner", "lined", "seat", "rubber", "lever", "operated")
            code = field == "liner" and typed in ("NR", "CR", "AU")
            if "|" in typed or (len(fold(typed)) < 3 and not code) or medium_too:
                continue
            found = matched(field, typed)
            if found.exact and (best is None or len(typed) > best[1] - best[0]):
                best = (spans[i][0], spans[j - 1][1], found)
    return best


def _end_of_line(left: str) -> tuple[int, int, Match] | None:
    found = re.search(r"\b(?:end[- ]of[- ]line|dead[- ]end|open end)\b", left, re.I)
    return (*found.span(), Match("yes", found.group())) if found else None


def take_metals(phrase: Phrase) -> None:
    """``duplex disc``, ``disc 316``, ``CS body``; a grade alone is the disc's."""
    for part in ("disc", "body", "shaft"):
        for pattern in (rf"((?:[\w./-]+\s+){{1,3}}){part}\b", rf"\b{part}\s*[:=]?\s*((?:[\w./-]+\s*){{1,3}})"):
            found = re.search(pattern, phrase.left, re.I)
            if found and (key := _metal_run(found.group(1), part)):
                start = found.start(1) + found.group(1).find(key[1])
                phrase.take(start, start + len(key[1]), (key[0],))
                break
    grade = re.search(r"(?<!\S)(?:ss\s?|aisi\s?)?(?:304|316)l?(?:\s?ss)?(?!\S)|(?<!\S)cf8m?(?!\S)", phrase.left, re.I)
    if grade and not any(s.name == "disc" for _, said in phrase.said for s in said) and (key_ := metal(grade.group(), "disc")):
        phrase.take(*grade.span(), (Said("disc", key_[0]),))


def _metal_run(text: str, part: str) -> tuple[Said, str] | None:
    """The longest run of these words that is a metal."""
    typed = text.split()
    runs = [" ".join(typed[i:j]) for i in range(len(typed)) for j in range(i + 1, len(typed) + 1)]
    found = [(r, m) for r in runs if (m := metal(r, part)) and set(words(r)) != {"|"}]
    if not found:
        return None
    run, (key, doubt) = max(found, key=lambda f: len(f[0]))
    return Said(part, key, GIVEN, f"{run!r} read as {key}: {doubt}" if doubt else ""), run


_REFUSED = re.compile(r"\b(?:no|not|without|never|kein\w*|nicht|ohne|sans|sin|senza)\b", re.I)
_SPELLED = ("body_style", "operator", "liner_build", "liner", "liner_typed", "liner_old_name", "disc", "body", "shaft")


def specification_said(text: str, column: Column) -> tuple[Said, ...]:
    """A specification, kept as typed, with the parts that it names; they count where no column of their own says otherwise."""
    kept = Said("specification", text)
    if _REFUSED.search(text):
        return (kept,)
    phrase = Phrase(" ".join(text.split()))
    take_choices(phrase)
    take_metals(phrase)
    return (kept, *(one for _, said in phrase.said for one in said if one.name in _SPELLED))
