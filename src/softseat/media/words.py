"""Words of a medium as typed: folded for comparison, its strength read, what is only duty (temperature, pressure, pH) left out."""

import functools
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from softseat.tables import read

NAN = float("nan")

_FOLDS = (("ae", "a"), ("oe", "o"), ("ue", "u"), ("ph", "f"), ("z", "s"), ("aluminum", "aluminium"), ("y", "i"))
_NUMBER = r"(?:\d+(?:[.,]\d+)?)"
_SPAN = rf"({_NUMBER})(?:\s*(?:-|–|to|bis|\.\.)\s*({_NUMBER}))?"
# a share of something that is not the named substance: left out, not a strength
_OTHER_SHARE = (
    r"(?:moisture|water|fat|fett|grasa|mg|feuchte|solids?|dry|ds|ts|d\.s\.|feststoffe?|o2|oxygen|h2s|acn|salt|opening|open|humidity|rh|vol(?!ume)"
    r"\.?\s*o2|al2o3|p2o5)"
)
_SHARE = re.compile(
    rf"(?:<=|>=|<|>|~|ca\.?|max\.?|up to)?\s*{_SPAN}\s*(?:%|pct\b|per ?cent\b|prozent\b)\s*(?:w/w|wt\.?|gew\.?|mass)?", re.I
)
_OTHER = re.compile(rf"{_SPAN}\s*%\s*(?:of\s+)?{_OTHER_SHARE}\b", re.I)
_SMALL = re.compile(rf"{_SPAN}\s*(ppm|ppb|mg/l|mg/kg|g/l|g/kg)\b", re.I)
_RATIO = re.compile(r"\b(\d{1,2})\s*[/:]\s*(\d{1,2})\b")
_DUTY = re.compile(
    rf"""(?:\bat\s+|@\s*)?[-+]?\s*{_NUMBER}(?:\s*(?:-|–|to|bis|\.\.|/)\s*[-+]?{_NUMBER})?\s*
    (?:°\s*[cfk]|deg\.?\s*[cf]|[cfk](?![\w])|m?bar[ag]?(?:\s*\([ag]\))?(?:\s*sat\b\.?)?|psi[ag]?|[kM]?Pa[ag]?|cP|cSt|mPa\.?s|micron|µm|um|mm|
    t/h|kg/h|N?m3/h|m³/h|l/s|gpm|min|h|hours?|vol|m)(?![\w])""",
    re.I | re.X,
)
_PH = re.compile(rf"\bpH\s*(?:[<>=~]*\s*)?{_SPAN}(?:\s*alternating)?", re.I)
_CAS = re.compile(r"\b(\d{2,7}-\d{2}-\d)\b")
_WORD = re.compile(r"[a-z]+[0-9][a-z0-9]*|[0-9]+[a-z]+[a-z0-9]*|[a-z]+|[0-9]+(?:[.,][0-9]+)?")
_SMALL_FACTOR = {"ppm": 1e-6, "ppb": 1e-9, "mg/l": 1e-6, "mg/kg": 1e-6, "g/l": 1e-3, "g/kg": 1e-3}


def fold(text: str) -> str:
    """Lower case without accents; spellings that differ by language or country (ph and f, z and s, ae and a umlaut) fall together.

    Parameters
    ----------
    text : str
        As typed.
    """
    plain = text.casefold()
    if not plain.isascii():  # plain letters have nothing to be taken apart
        plain = unicodedata.normalize("NFKD", plain.replace("ß", "ss"))
        plain = "".join(c for c in plain if not unicodedata.combining(c))
    for old, new in _FOLDS:
        plain = plain.replace(old, new)
    return plain


def tokens(text: str) -> tuple[str, ...]:
    """Folded words of a text in order, plurals without their s, words without vowels spelled out.

    Parameters
    ----------
    text : str
        As typed.
    """
    words = (w[:-1] if len(w) > 3 and w[-1] == "s" else w for w in _WORD.findall(fold(text).replace("'", " ")))
    known = _short_words()
    return tuple(known.get(w, w) for w in words)


@functools.cache
def _short_words() -> Mapping[str, str]:
    """Words without their vowels, folded, and what is meant."""
    return {fold(row["short"]): fold(row["word"]) for row in read("short_words")}


def _figure(text: str) -> float:
    return float(text.replace(",", "."))


@dataclass(frozen=True, slots=True)
class Read:
    """A medium as typed, taken apart: what is left of the words, and the strength that was said."""

    words: str
    concentration: float  # mass share, nan where none was said
    cas: str


def _strength(text: str) -> tuple[str, float]:
    text = _OTHER.sub(" ", text)
    for pattern in (_SHARE, _SMALL):
        if found := pattern.search(text):
            high = _figure(found.group(2) or found.group(1))
            factor = 0.01 if pattern is _SHARE else _SMALL_FACTOR[found.group(3).lower()]
            return _SHARE.sub(" ", _SMALL.sub(" ", text)), high * factor if high * factor <= 1 else NAN
    if (ratio := _RATIO.search(text)) and int(ratio.group(1)) + int(ratio.group(2)) == 100:
        return _RATIO.sub(" ", text), int(ratio.group(1)) / 100
    return text, NAN


def read_medium(text: str) -> Read:
    """Take apart one medium as typed; of a range of strength the high end counts, for it attacks most as a rule.

    Parameters
    ----------
    text : str
        One medium as typed, with its strength, temperature or CAS number.
    """
    cas = _CAS.search(text)
    rest = _PH.sub(" ", _CAS.sub(" ", text))
    rest, share = _strength(rest)
    return Read(_DUTY.sub(" ", rest).strip(" ,;-"), share, cas.group(1) if cas else "")


_UNIT = r"(?<!g)(?<!m3)(?<!m³)(?<! l)(?<! t)"  # g/l, m3/h, t/h are one thing
_JOIN = re.compile(
    rf"\s*(\+|;|&|(?<=\D){_UNIT}/|{_UNIT}/(?=\D)|,(?!\d)|"
    r"\b(?:and|und|et|with|mit|avec|con|containing|contains|plus|then|dann|puis)\b)\s*",
    re.I,
)
_BRACKET = re.compile(r"(?:^|(?<=\s))\(([^()]*)\)")  # not those of a formula such as Ca(OH)2
FIRST, JOINED, BESIDE, LISTED, BRACKET = "first", "joined", "beside", "listed", "bracket"  # joined: with, plus; beside: and, stroke
_WITH = re.compile(r"\+|with|mit|avec|con|containing|contains|plus", re.I)


def pieces(text: str) -> tuple[tuple[str, str], ...]:
    """What stands between the signs and words that join media: (text, how it is joined), what stands in brackets last.

    Parameters
    ----------
    text : str
        Several media as typed.
    """
    found = []
    sign = FIRST
    for n, part in enumerate(_JOIN.split(_BRACKET.sub(" ", text))):
        if n % 2:
            sign = LISTED if part in ",;" else JOINED if _WITH.fullmatch(part) else BESIDE
        elif part.strip():
            found.append((part.strip(), sign))
    inside = [p.strip() for b in _BRACKET.findall(text) for p in _JOIN.split(b)[::2] if p.strip()]
    return tuple(found) + tuple((p, BRACKET) for p in inside)
