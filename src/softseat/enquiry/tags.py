"""Tags of plant items: one cell may name several valves."""

import re

_MOST = 500  # more tags than this in one cell are no list but a slip
_TO = r"(?:\s*(?:\.{2,}|…|–|—)\s*|\s+(?:to|thru|through|bis|jusqu'?a|au|al|a|ate)\s+)"
_NUMBERED = re.compile(r"^(.*?)(\d+)([A-Za-z]?)$")


def tags(text: str) -> tuple[str, ...]:
    """The tags of a cell, spelled out: ``BV-1001A/B/C``, ``BV-1021 to 1026``, ``V-101..V-104``, ``P-2A-D``, ``HV-12,13,14``.

    What cannot be a list without doubt stays one tag.
    """
    text = " ".join(text.split())
    parts = [p for p in re.split(r"\s*[,;&+]\s*|\s+(?:and|und|et|y|e)\s+", text) if p]
    if not parts:
        return ()
    found: list[str] = []
    for part in parts:
        spelled = _part(part, found[-1] if found else "")
        if spelled is None:
            return (text,)
        found += spelled
    return tuple(found) if len(found) <= _MOST else (text,)


def _part(part: str, before: str) -> list[str] | None:
    """The tags of a part without commas; ``before`` lends what an abbreviated one leaves out."""
    lettered = re.fullmatch(r"(.*\d[A-Za-z])-([A-Za-z])", part)  # "P-002A-D"
    ends = list(lettered.groups()) if lettered else re.split(_TO, part, flags=re.I)
    if len(ends) == 2:
        first = _lent(ends[0], before)
        return _range(first, ends[1]) if first else None
    if len(ends) > 2:
        return None
    return _slashed(part, before)


def _slashed(part: str, before: str) -> list[str] | None:
    """``BV-1001A/B/C``, ``BV-1001/1002``; a slash inside a plant code (``10/BV-1``) is no list."""
    pieces = [p.strip() for p in part.split("/")]
    first = _lent(pieces[0], before)
    if first is None:
        return None
    if len(pieces) == 1:
        return [first]
    found = [first]
    for piece in pieces[1:]:
        lent = _lent(piece, found[-1]) if re.fullmatch(r"[A-Za-z]|\d+[A-Za-z]?", piece) else piece if _alike(piece, first) else None
        if lent is None or not re.search(r"\d", found[0]):
            return [part]
        found.append(lent)
    return found


def _alike(one: str, other: str) -> bool:
    """Two full tags of one pattern: the same letters, figures of the same length."""
    shapes = [re.sub(r"\d", "0", re.sub(r"(?<=\d)[A-Za-z]$", "", t)).upper() for t in (one, other)]
    return shapes[0] == shapes[1]


def _lent(piece: str, before: str) -> str | None:
    """A tag, completed from the one before it: ``B`` after ``P-1A``, ``13`` after ``HV-12``."""
    if not before or not re.fullmatch(r"[A-Za-z]|\d+[A-Za-z]?", piece):
        return piece
    last = _NUMBERED.match(before)
    if last is None:
        return None
    head, figures, letter = last.groups()
    if piece.isalpha():
        return f"{head}{figures}{piece}" if letter else None
    digits = re.match(r"\d+", piece)
    short = len(figures) - len(digits.group()) if digits else 0
    return f"{head}{figures[:short]}{piece}" if short >= 0 else None


def _range(first: str, last: str) -> list[str] | None:
    """All tags from the first to the last; None where they do not belong together."""
    one = _NUMBERED.match(first)
    if one is None:
        return None
    head, figures, letter = one.groups()
    last = last.removeprefix(head) if head else last
    if letter and (only := re.fullmatch(rf"(?:{figures})?([A-Za-z])", last)):
        end = only.group(1)
        return [f"{head}{figures}{chr(c)}" for c in range(ord(letter), ord(end) + 1)] if letter < end else None
    if letter or not last.isdigit() or (len(last) > len(figures) and figures.startswith("0")):
        return None
    start, stop = int(figures), int(figures[: max(0, len(figures) - len(last))] + last)
    if not start < stop <= start + _MOST:
        return None
    return [f"{head}{n:0{len(figures)}d}" for n in range(start, stop + 1)]
