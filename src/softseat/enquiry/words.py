"""One item from free words, as they are said on the telephone: what has a name is taken out, the rest is the medium."""

import re
from collections.abc import Callable

from softseat.enquiry.cells import PIPE_CLASS, cell_said
from softseat.enquiry.drives import CONTROLS, fail_phrase
from softseat.enquiry.figures import cycles_said, quantity_said, viscosity_said
from softseat.enquiry.flows import flow_said
from softseat.enquiry.folding import plain
from softseat.enquiry.gathering import Gathering
from softseat.enquiry.named_parts import Phrase, take_choices, take_metals
from softseat.enquiry.pressures import difference_said, pressure_said
from softseat.enquiry.ratings import FORMS, SYSTEMS, rating_said
from softseat.enquiry.reading import Column, Said
from softseat.enquiry.records import Enquiry, RowRef, finished
from softseat.enquiry.sizes import IMPERIAL, METRIC, PARTED, size_said
from softseat.enquiry.spans import leading_unit
from softseat.enquiry.temperatures import excursion, temperature_said
from softseat.errors import InputError
from softseat.sheet import UNREADABLE, Origin
from softseat.units import NUMBER, number, read, to_si

_ONE = r"[+\-−]?\d+(?:[.,]\d+)*"
_TO = r"\s*(?:to|bis|/|-|–|\.\.\.?|…)\s*"
_FIGURE = re.compile(rf"(?<![\w.,])(?:(max|min|op|design|des|up to)\.?\s+)?{NUMBER.pattern}(?:{_TO}{NUMBER.pattern})?", re.I)
_TAIL = re.compile(r"\s*(?:max|min|sat\.?|saturated|abs)\b\.?(?!\s*\d)", re.I)
_KINDS: tuple[tuple[tuple[str, ...], Callable[[str, Column], tuple[Said, ...]], str], ...] = (
    (("flow", "mass_flow"), flow_said, "flow"),
    (("pressure",), pressure_said, "p1"),
    (("temperature",), temperature_said, "t_max"),
    (("rate of use",), cycles_said, "cycles"),
    (("viscosity", "kinematic viscosity"), viscosity_said, "viscosity"),
)
_LED = (
    ("drop", r"(?:dp|Δp|delta p|pressure drop|drop)", difference_said, ("pressure",)),
    ("shutoff", r"(?:shut-?\s?off(?: dp| pressure)?|close-?\s?off|dead[- ]end)", difference_said, ("pressure",)),
    ("p1", r"(?:p1|upstream|inlet pressure)", pressure_said, ("pressure",)),
    ("p2", r"(?:p2|downstream|outlet|back pressure)", pressure_said, ("pressure",)),
    ("p_design", r"(?:design|des\.?)", pressure_said, ("pressure",)),
    ("p_max", r"(?:max(?:imum)?\.? pressure|pmax)", pressure_said, ("pressure",)),
)
_QUANTITY = re.compile(r"(?<![\w.])(?:(?:qty|quantity)\.?\s*(\d+)\b|(\d+)\s*(?:nos?\b\.?|off\b|pcs\b|pieces\b|x(?=\s)))", re.I)
_WALL = PIPE_CLASS.pattern
_PIPE = re.compile(
    rf"\b(?:in(?:to)? )?(?:pe ?100|pe ?80|pe|hdpe|pe-hd|u?pvc(?:-u)?|pp|abs|grp|frp|gfk|(?:carbon |stainless )?steel|ductile iron|concrete)"
    rf"(?: pip(?:e|ing)| rohr| main)?(?: (?:{_WALL}))(?: pip(?:e|ing)| rohr| main)?"
    rf"|\b(?:in(?:to)? )?(?:pe ?100|pe ?80|pe|hdpe|pe-hd|u?pvc(?:-u)?|pp|abs|grp|frp|gfk|(?:carbon |stainless )?steel|ductile iron)"
    rf" (?:pip(?:e|ing)|rohr|main)\b",
    re.I,
)
_FILLERS = frozenset(
    ("valve", "valves", "butterfly", "liner", "lined", "seat", "disc", "body", "shaft", "operator", "operated", "actuator", "with", "at",
     "for", "a", "an", "the", "rubber", "flow", "pressure", "temperature", "temp", "rating", "size", "line")
)  # fmt: skip
_EDGES = {"and", "of", "to", "in", "on", "-", "/", "by"}


def read_words(text: str) -> Enquiry:
    """Read one item from free words: ``sea water dn300 760 m3/h 6 bar 40C wafer lever``.

    Raises
    ------
    InputError
        Where there are no words at all.
    """
    if not re.search(r"\w", text):
        raise InputError("an item needs words, such as: sea water dn300 760 m3/h 6 bar 40C wafer lever")
    phrase = Phrase(" ".join(text.replace("″", '"').split()))
    for step in (_quantity, _strength, _led, _pipe, _rating, _size, _excursion, _figures, _fail, _duty, take_choices, take_metals):
        step(phrase)
    _medium(phrase)
    gathering = Gathering(1)
    for typed, said in phrase.said:
        gathering.take(0, [s for s in said if s.state != UNREADABLE], frozenset(s.name for s in said), Origin("words", 1, "", typed))
    gathering.settle(frozenset())
    sheet, rows = finished(gathering, (RowRef(1, "words", 1, "", (), 1),))
    return Enquiry(sheet, rows)


def _quantity(phrase: Phrase) -> None:
    if found := _QUANTITY.search(phrase.left):
        phrase.take(*found.span(), quantity_said(found.group(1) or found.group(2), phrase.column("quantity")))


def _strength(phrase: Phrase) -> None:
    """A share stays with the medium, as part of its name; an opening does not."""
    if opened := re.search(rf"({_ONE})\s*(?:%\s*open(?:ing)?\b|deg(?:rees)?\s*open\b)", phrase.left, re.I):
        value = number(opened.group(1), phrase.decimal or None)[0]
        phrase.take(*opened.span(), (Said("opening", 0.9 * value if "%" in opened.group() else value),))
    if share := re.search(rf"({_ONE})\s*%", phrase.left):
        value = number(share.group(1), phrase.decimal or None)[0] / 100
        if 0 <= value <= 1:
            phrase.take(*share.span(), (Said("concentration", value),), keep=True)


def _led(phrase: Phrase) -> None:
    """Figures with their own word before them: ``dp 0.2 bar``, ``p2 1 bar``, ``SG 1.05``, ``closing in 5 s``."""
    for field, word, reader, dims in _LED:
        for found in re.finditer(rf"(?<!\w){word}\s*[=:]?\s*({_ONE})", phrase.left, re.I):
            unit, length = leading_unit(phrase.left[found.end() :].lstrip(), dims)
            if unit:
                gap = len(phrase.left[found.end() :]) - len(phrase.left[found.end() :].lstrip())
                end = found.end() + gap + length
                phrase.take(found.start(), end, reader(phrase.left[found.start(1) : end], phrase.column(field)))
                break
    if dense := re.search(rf"\bsg\s*[=:]?\s*{_ONE}", phrase.left, re.I) or re.search(rf"(?<!\w){_ONE}\s*(?:kg/m3|sg)\b", phrase.left, re.I):
        phrase.take(*dense.span(), (Said("density", read(dense.group(), "density", None, phrase.decimal or None).value),))
    if closing := re.search(
        rf"\b(?:clos(?:es|ing)|strok(?:e|es|ing)|open(?:s|ing))\s*(?:time|in)?\s*({_ONE})\s*(s|sec|seconds|min)\b", phrase.left, re.I
    ):
        value = to_si(number(closing.group(1), phrase.decimal or None)[0], "min" if closing.group(2) == "min" else "s")
        phrase.take(*closing.span(), (Said("stroke_time", value),))


def _pipe(phrase: Phrase) -> None:
    """``pe100 sdr11 pipe``, ``steel pipe sch 40``: what the pipe is made of and how thick it is."""
    if found := _PIPE.search(phrase.left):
        phrase.take(*found.span(), cell_said(found.group(), phrase.column("pipe_system")))


def _excursion(phrase: Phrase) -> None:
    often = rf"(?:\s*,?\s*{_ONE}\s*(?:x|times)?\s*(?:per|/|a)\s*\w+)?"
    pattern = rf"{_ONE}\s*(?:°?\s?[CF]|deg\.?\s?[CF])\s*(?:for|during)\s*{_ONE}\s*(?:min|h|hours?|minutes?|s)\b{often}"
    if (found := re.search(pattern, phrase.left, re.I)) and (said := excursion(found.group(), phrase.decimal)):
        phrase.take(*found.span(), said)


def _rating(phrase: Phrase) -> None:
    for form, _ in SYSTEMS:
        if found := form.search(phrase.left.lower()):
            tail = next((m for _, f in FORMS if (m := f.match(phrase.left.lower()[found.end() :].lstrip(" -")))), None)
            end = found.end() + (phrase.left.lower()[found.end() :].index(tail.group()) + tail.end() if tail else 0)
            phrase.take(found.start(), end, rating_said(phrase.left[found.start() : end], phrase.column("rating")))
            break
    for _, form in FORMS:
        if found := form.search(phrase.left.lower()):
            phrase.take(*found.span(), rating_said(phrase.left[found.start() : found.end()], phrase.column("rating")))
            return


def _size(phrase: Phrase) -> None:
    for form in (METRIC, PARTED, IMPERIAL):
        for found in form.finditer(phrase.left.lower()):
            said = size_said(phrase.left[found.start() : found.end()], phrase.column("size"))
            if any(s.name == "dn" for s in said):
                phrase.take(*found.span(), said)
                return


def _figures(phrase: Phrase) -> None:
    """Every number with a unit, or range of numbers, by the dimension of its unit."""
    at = 0
    while found := _FIGURE.search(phrase.left, at):
        behind = phrase.left[found.end() :]
        gap = len(behind) - len(behind.lstrip())
        at = found.end()
        for dims, reader, field in _KINDS:
            unit, length = leading_unit(behind[gap : gap + 17], dims)
            if unit:
                end = found.end() + gap + length
                tail = _TAIL.match(phrase.left[end:])
                end += tail.end() if tail else 0
                phrase.take(found.start(), end, reader(phrase.left[found.start() : end], phrase.column(field)))
                at = found.start()
                break
    if vacuum := re.search(r"\b(?:full vacuum|fv)\b", phrase.left, re.I):
        phrase.take(*vacuum.span(), (Said("p_min", 0.0),))


def _fail(phrase: Phrase) -> None:
    if found := fail_phrase(phrase.left):
        phrase.take(found[0], found[1], (Said("fail", found[2]),))


def _duty(phrase: Phrase) -> None:
    if found := CONTROLS.search(phrase.left.lower()):
        phrase.take(*found.span(), (Said("duty", "control"),), keep="electric" in phrase.left.lower())
    elif found := re.search(r"\b(?:for )?(?:flow |level |pressure )?control(?:s|ling)?\b", phrase.left, re.I):
        phrase.take(*found.span(), (Said("duty", "control"),))
    elif found := re.search(r"\bon[-/ ]off\b", phrase.left, re.I):
        phrase.take(*found.span(), (Said("duty", "onoff"),), keep="electric" in phrase.left.lower())


def _medium(phrase: Phrase) -> None:
    """What is left names the medium."""
    left = [w for w in re.split(r"[\s|,;]+", phrase.left) if w and plain(w).strip(".") not in _FILLERS]
    while left and left[-1].lower() in _EDGES:
        left.pop()
    while left and left[0].lower() in _EDGES:
        left.pop(0)
    if left:
        phrase.said.append((" ".join(left), (Said("medium", " ".join(left)),)))
