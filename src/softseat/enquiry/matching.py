"""Which column is which field: by its heading, and where that is in doubt by its cells."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import islice, pairwise

from softseat.enquiry.cells import CHOICES, cell_said
from softseat.enquiry.choices import is_blank, is_ditto
from softseat.enquiry.fieldtable import checked, columns
from softseat.enquiry.folding import fold, plain
from softseat.enquiry.grid import Figure
from softseat.enquiry.headings import BY_UNIT, Heading, dimensions, heading, unit_of
from softseat.enquiry.ratings import rating
from softseat.enquiry.reading import Column
from softseat.enquiry.sizes import column_sign, nominal
from softseat.enquiry.spans import slots
from softseat.media.names import find as find_medium
from softseat.sheet import UNREADABLE
from softseat.units import UNITS as KINDS
from softseat.units import decimal_sign, find

_SAMPLE = 120
FROM_CELLS = ("liner", "disc", "operator", "body_style", "size")  # fields whose cells cannot be taken for another's
UNFIT = 0.05  # the same of a heading that is known: none of its cells can be read so
DOUBTED = 0.4  # share of cells below which a heading that was guessed is not believed against its cells
NEARLY_ALL, SURE_MEDIUM, MOST_CELLS = 0.8, 0.75, 4
_ABSOLUTE = re.compile(r"\(a\)|abs", re.I)
MOST_PRESSURE = 3e6  # [Pa] of a line that a rubber-lined valve is asked for
_TAKEN = 0.35  # what a field loses that a sure column has already
_STATED = ("p1", "p2", "p_max", "p_design", "p_min")
_PRESSURES = (*_STATED, "drop", "shutoff")
_TEMPERATURES = ("t_min", "t_normal", "t_max", "ambient_min", "ambient_max")


def assigned(headings: Sequence[str], cells: Sequence[Sequence[str]], given: Mapping[str, str]) -> list[Column]:
    """A column for every heading; one that is not known has no fields."""
    read = [_given(h, given) or heading(h) for h in headings]
    samples = [list(islice((t for t in texts if not is_blank(t) and not is_ditto(t)), _SAMPLE)) for texts in cells]
    sure = {c for h in read if len(h.candidates) == 1 for c in h.candidates[0]}
    chosen: list[Column] = []
    for place, (name, head, texts) in enumerate(zip(headings, read, samples, strict=True)):
        fields, how = _chosen(head, texts, sure)
        sure |= set(fields)
        chosen.append(Column(" ".join(name.split()), place, fields, "", "", "", how))
    return _lent(_told(chosen, read), samples)


def _given(name: str, given: Mapping[str, str]) -> Heading | None:
    """The user's own word for a heading."""
    key = given.get(fold(name))
    if key is None:
        return None
    known = heading(name)
    typed = (*re.findall(r"[(\[]([^)\]]*)", name), name.rsplit(maxsplit=1)[-1])
    unit = next((u for u in (unit_of(t, checked(key)) for t in typed) if u), known.unit)
    return Heading(((key,),), unit, "given")


def _chosen(head: Heading, texts: Sequence[str], sure: set[str]) -> tuple[tuple[str, ...], str]:
    """The candidate that the cells fit best; the first one where they do not tell."""
    kin = next((k for k in (_PRESSURES, _TEMPERATURES) if head.candidates and head.candidates[0][0] in k), ())
    if head.how == BY_UNIT and sure & set(kin):
        return (), head.how
    if not head.candidates:
        return _by_cells(head, texts, sure)
    if len(head.candidates) < 2:
        weak = DOUBTED if head.how.startswith(("near", "by a word", "short")) else UNFIT
        fit = _fit(head.candidates[0][0], texts, head.unit) if len(head.candidates[0]) == 1 else 1.0
        told = _by_cells(head, texts, sure) if fit < weak else ((), "")
        return told if told[0] else (head.candidates[0], head.how)
    merits = [(_fit(c[0], texts, head.unit) - _TAKEN * (c[0] in sure), -i) for i, c in enumerate(head.candidates)]
    best = max(range(len(merits)), key=lambda i: merits[i])
    if head.how.startswith("short") and merits[best][0] < DOUBTED:
        return _by_cells(head, texts, sure)
    return head.candidates[best], f"{head.how}, by the cells" if best else f"{head.how}, the likelier of {len(merits)}"


def _by_cells(head: Heading, texts: Sequence[str], sure: set[str]) -> tuple[tuple[str, ...], str]:
    """A column whose heading tells nothing, by what its cells are; only where nearly all of them are that."""
    if len(texts) < MOST_CELLS:
        return (), head.how
    merits = {f: _fit(f, texts, "") for f in FROM_CELLS if f not in sure} | ({} if "medium" in sure else {"medium": _media(texts)})
    merits |= {} if "tag" in sure else {"tag": _named(texts)}
    best = max(merits, key=lambda f: merits[f], default="")
    if best and merits[best] >= NEARLY_ALL:
        return (best,), "by its cells alone"
    return (), head.how


def _media(texts: Sequence[str]) -> float:
    """The share of cells that name a medium."""
    known = [find_medium(t) for t in texts]
    return sum(m.medium_id is not None and m.share >= SURE_MEDIUM for m in known) / len(texts)


def _fit(field: str, texts: Sequence[str], unit: str) -> float:
    """The share of cells that this field can hold."""
    if not texts:
        return 0.5
    own = _FITS.get(field)
    if own:
        return own(texts) + 0.2 * (field == "rating" and unit in ("PN", "Class"))
    if field.startswith("_"):
        return 0.4
    if field == "remarks":
        return 0.4  # any cell is a remark
    if columns().get(field) == "text" and field not in (*CHOICES, "operator", "duty", "liner", "body", "disc", "shaft", "rating", "size"):
        return 0.5
    column = Column("", 0, (field,), unit_of(unit, field) if unit else "")
    kin = _STATED if field in _STATED else (field,)  # "-60" in a column of design pressures is the lowest one
    good = sum(any(s.name in kin and s.state != UNREADABLE for s in cell_said(t, column)) for t in texts)
    odd = sum(1 for t in texts if rating(t) and not unit_of(t, field)) if field in _PRESSURES and not column.unit else 0
    return (good - odd) / len(texts)


def _whole(texts: Sequence[str]) -> list[int]:
    return [int(t) for t in texts if re.fullmatch(r"\d{1,6}(?:\.0)?", t.strip())] if all("." not in t for t in texts) else []


def _counts(texts: Sequence[str]) -> float:
    """A column that counts: whole numbers that only rise."""
    whole = _whole(texts)
    rising = len(whole) == len(texts) and all(b > a for a, b in pairwise(whole))
    return 0.9 if rising and len(whole) > 1 else 0.7 if len(whole) == len(texts) == 1 else 0.1 if whole else 0.0


def _pieces(texts: Sequence[str]) -> float:
    whole = _whole(texts)
    return 0.8 * sum(0 < n <= 200 for n in whole) / len(texts) - 0.3 * (_counts(texts) > 0.8)


def _tags(texts: Sequence[str]) -> float:
    return 0.8 * sum(bool(re.search(r"[A-Za-z]", t) and re.search(r"\d", t)) for t in texts) / len(texts)


def _named(texts: Sequence[str]) -> float:
    """The share of cells that are a short name with a number, nearly all unlike: the tags of a list that calls them otherwise."""
    alike = len(set(texts)) < NEARLY_ALL * len(texts)
    return (
        0.0 if alike else sum(bool(re.fullmatch(r"[A-Za-z]{1,6}[-_ ./]?\d{1,6}[A-Za-z]?(?:[-/].{1,12})?", t)) for t in texts) / len(texts)
    )


def _line_numbers(texts: Sequence[str]) -> float:
    return sum('"' in t or t.count("-") > 1 for t in texts) / len(texts)


def _unit_words(texts: Sequence[str]) -> float:
    return sum(find(t) is not None for t in texts) / len(texts)


def _sizes(texts: Sequence[str]) -> float:
    signed = sum(nominal(t) is not None for t in texts)
    round_ = sum(1 for t in texts if re.fullmatch(r"\d+", t.strip()) and int(t) % 5 == 0 and int(t) >= 15)
    return (signed + 0.7 * round_) / len(texts)


def _ratings(texts: Sequence[str]) -> float:
    bare = sum(t.strip() in ("6", "10", "16", "25", "40", "125", "150", "300") for t in texts)
    return (sum(rating(t) is not None for t in texts) + bare) / len(texts)


def _leakage(texts: Sequence[str]) -> float:
    return sum(bool(re.fullmatch(r"(?:class |rate )?(?:[ivx]+|[a-g])|tight.*|bubble.*", plain(t))) for t in texts) / len(texts)


def _zones(texts: Sequence[str]) -> float:
    return sum(bool(re.search(r"\bzone\b|\bdiv\b|\bex\b|safe|atex|\biic?\b", plain(t))) for t in texts) / len(texts)


def _duties(texts: Sequence[str]) -> float:
    return sum(any(s.name == "duty" for s in cell_said(t, Column("", 0, ("duty",)))) for t in texts) / len(texts)


_FITS = {
    "position": _counts, "quantity": _pieces, "tag": _tags, "line_number": _line_numbers, "unit": _unit_words, "size": _sizes,
    "rating": _ratings, "leakage": _leakage, "zone": _zones, "duty": _duties,
}  # fmt: skip


def _told(chosen: list[Column], read: Sequence[Heading]) -> list[Column]:
    """Units from the headings, where they belong to the field that was chosen."""
    told = []
    for column, head in zip(chosen, read, strict=True):
        fits = column.fields and head.unit and unit_of(head.unit, column.fields[0])
        told.append(replace(column, unit=head.unit) if fits else column)
    return told


def _lent(chosen: list[Column], samples: Sequence[Sequence[str]]) -> list[Column]:
    """Decimal sign and, for columns without a unit, the unit of their other rows or of the other columns of their kind."""
    typed = [[t for t in texts if not isinstance(t, Figure)] for texts in samples]
    sheet_sign = decimal_sign([t for texts, c in zip(typed, chosen, strict=True) if c.fields and _numeric(c.fields[0]) for t in texts])
    lent = []
    for column, texts, written in zip(chosen, samples, typed, strict=True):
        sign = decimal_sign(written) or sheet_sign
        field = column.fields[0] if column.fields else ""
        unit = "" if column.unit or not field else column_sign(list(texts)) if field == "size" else _common(texts, field, sign)
        lent.append(replace(column, decimal=sign, borrowed=unit))
    for kin in (_PRESSURES, _TEMPERATURES):
        units = Counter(c.unit or c.borrowed for c in lent if c.fields and c.fields[0] in kin and (c.unit or c.borrowed))
        if units:
            usual = units.most_common(1)[0][0]
            lent = [replace(c, borrowed=usual) if c.fields and c.fields[0] in kin and not (c.unit or c.borrowed) else c for c in lent]
    return lent


def _absurd(unit: str, texts: Sequence[str], sign: str) -> bool:
    """Whether a unit that few cells are typed with makes the bare ones pressures that no such valve sees, and bar does not."""
    bare = sorted(a.value for t in texts for s in slots(t, ("pressure",), sign) for a in s.amounts if not a.unit)
    middle = bare[len(bare) // 2] if bare else 0.0
    return middle * KINDS[unit].factor > MOST_PRESSURE >= middle * 1e5


def _numeric(field: str) -> bool:
    return columns().get(field) == "number"


def _common(texts: Sequence[str], field: str, sign: str) -> str:
    """The unit that most cells of a column are typed with; none where two stand equal: the columns of its kind tell then."""
    dims = dimensions(field)
    if not dims or not _numeric(field):
        return ""
    typed = [a.unit for t in texts for s in slots(t, dims, sign) for a in s.amounts if a.unit]
    if 2 * len(typed) < len(texts):  # "10 psia" among bare figures is the exception that is marked, not what the others are
        typed = [u for u in typed if not _ABSOLUTE.search(u)]
    if field in _STATED and 2 * len(typed) < len(texts):
        typed = [u for u in typed if not _absurd(u, texts, sign)]
    units = Counter(typed).most_common(2)
    if field.startswith("flow") and 2 * len(typed) < len(texts):  # a gas at its reference state among bare figures speaks for itself
        units = Counter(u for u in typed if not KINDS[u].kind.endswith("_gas")).most_common(2)
    return units[0][0] if units and (len(units) == 1 or units[0][1] > units[1][1]) else ""
