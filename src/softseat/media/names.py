"""Which row of the media table is meant by the words of a schedule; what is not sure is a guess, shown as one, or a question."""

import functools
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from softseat.media.lexicon import HEAD, Key, Lexicon, lexicon
from softseat.media.spelling import nearest
from softseat.media.strength import by_strength
from softseat.media.words import BRACKET, FIRST, JOINED, NAN, pieces, read_medium, tokens

NOTHING = "nothing"
_SURE = {"alias": 1.0, "guess": 0.8, "vague": 0.3}
_TRACE_OIL = 40  # an oil met as a trace is taken as mineral oil: the common case, and the harsher one for EPDM


@dataclass(frozen=True, slots=True)
class Part:
    """A second medium named beside the first: a component, a trace, or what cleans the line."""

    text: str
    medium_id: int | None
    name: str
    role: str  # component, trace, cleaning
    concentration: float = NAN


@dataclass(frozen=True, slots=True)
class Match:
    """What was understood of a medium as typed."""

    text: str
    medium_id: int | None  # row of media.csv
    name: str
    share: float  # how sure, 0 to 1
    guess: bool  # to be shown as one
    concentration: float  # mass share, nan where none was said
    parts: tuple[Part, ...] = ()
    question: str = ""
    candidates: tuple[int, ...] = ()
    vague: bool = False  # too loose a word (R014), even where a guess was made
    how: str = NOTHING  # name, alias, words, spelling, CAS


@dataclass(frozen=True, slots=True)
class _Hit:
    ids: tuple[int, ...]
    share: float
    guess: bool = False
    ask: str = ""
    vague: bool = False
    how: str = "name"
    told: bool = False  # the words themselves say the strength


def _exact(key: Key, lex: Lexicon) -> _Hit | None:
    """The key as an alias or a printed name, word order and blanks apart."""
    if not key:
        return None
    for known in (key, lex.orderless.get(frozenset(key), ()), lex.joined.get("".join(key), ())):
        if known in lex.aliases:
            kind, ids, ask, loose = lex.aliases[known]
            if kind in _SURE:
                return _Hit(ids, _SURE[kind], kind != "alias", ask, loose, "alias")
        if known in lex.phrases:
            return _named(known, lex)
    return _Hit(lex.ambiguous[key][0], 0.6, True, lex.ambiguous[key][1]) if lex.ambiguous.get(key, ((),))[0] else None


def _named(key: Key, lex: Lexicon) -> _Hit:
    rows = lex.phrases[key]
    best = [number for number, standing in rows if standing == rows[0][1]]
    told = bool(lex.words["strength"] & set(key)) or any(word.isdigit() for word in key)
    if key in lex.ambiguous and lex.ambiguous[key][1]:
        meanings, ask = lex.ambiguous[key]
        if ask.startswith("spell out"):
            return _Hit(tuple(best), 0.9, True, told=told)
        return _Hit(tuple(dict.fromkeys((*best, *meanings))), 0.6, True, ask, told=told)
    if len(best) > 1 and lex.family.get(best[0], ()) != lex.family.get(best[1], (0,)):
        share = 0.9 if rows[0][1] == HEAD else 0.7
        return _Hit(tuple(best), share, True, "which one: " + "; ".join(lex.names[n] for n in best) + "?", told=told)
    return _Hit(tuple(best), 1.0, told=told)


def _weight(word: str) -> int:
    """Letters of a word; a formula says more than its length."""
    return max(len(word), 8) if any(c.isdigit() for c in word) and not word.isdigit() else len(word)


def _letters(key: Key) -> int:
    return sum(map(_weight, set(key)))


def _stands(phrase: Key, key: Key) -> bool:
    """Whether a phrase of several words stands in the text as it is printed."""
    return len(phrase) > 1 and any(key[n : n + len(phrase)] == phrase for n in range(len(key)))


def _inside(key: Key, telling: Key, lex: Lexicon) -> _Hit | None:
    """The known phrase that covers most of the words; small words (of, de) may bind it, the telling ones say how much it covers."""
    words = set(key)
    known = {phrase for word in words for phrase in lex.by_word.get(word, ()) if words.issuperset(phrase)}
    known |= {(word,) for word in words if (word,) in lex.aliases}
    known |= {phrase for phrase in lex.aliases if len(phrase) > 1 and words.issuperset(phrase)}
    if not known:
        return None
    loose = {phrase for phrase in known if lex.aliases.get(phrase, ("", (), "", False))[3]}
    best = max(known - loose or known, key=lambda phrase: (_letters(phrase) * (2.2 if _stands(phrase, key) else 1.0), len(phrase), phrase))
    covered = _letters(tuple(w for w in best if w in telling)) / _letters(telling)
    hit = _exact(best, lex)
    if hit is None or (covered < 0.3 and not hit.vague):
        return None
    return replace(hit, share=hit.share * (0.5 + 0.5 * covered) * 0.95, guess=True, how="words")


def _around(key: Key, lex: Lexicon) -> _Hit | None:
    """Phrases that hold all the words and more: the text says less than the table."""
    if sum(map(len, key)) < 5 or any(word not in lex.by_word for word in key):
        return None
    known = set.intersection(*(set(lex.by_word[word]) for word in key))
    ids = tuple(dict.fromkeys(number for phrase in sorted(known, key=len) for number, _ in lex.phrases[phrase]))
    if not ids or len(ids) > 6:
        return None
    if len(ids) == 1 or len({lex.family.get(n, (n,)) for n in ids}) == 1:
        return _Hit(ids, 0.6, True, how="words")
    return _Hit(ids, 0.3, True, "which one: " + "; ".join(lex.names[n] for n in ids) + "?", True, "words")


def _look(words: str, lex: Lexicon) -> _Hit | None:
    """One medium without its strength: the surest reading first."""
    key = tokens(words)
    bare = tuple(w for w in key if w not in lex.words["context"] and w not in lex.words["trace"])
    plain = tuple(w for w in bare if w not in lex.words["quality"] and not w.isdigit() and w not in lex.words["cleaning"])
    if hit := _exact(key, lex) or _exact(bare, lex):
        return hit
    if hit := _exact(plain, lex) or _exact(_without_endings(plain, lex), lex):
        return replace(hit, share=hit.share * 0.9, guess=True)
    if not plain:
        return None
    hit = _inside(key, bare, lex) or _inside(bare, bare, lex) or _around(plain, lex)
    return hit if hit and not hit.vague else _spelled(plain, lex) or hit


def _without_endings(key: Key, lex: Lexicon) -> Key:
    """German compounds without the tail that only says where (Ammoniakleitung)."""
    return tuple(next((w[: -len(e)] for e in lex.endings if w.endswith(e) and len(w) > len(e) + 3), w) for w in key)


def _spelled(key: Key, lex: Lexicon) -> _Hit | None:
    close = nearest("".join(key))
    hit = _exact(close[0], lex) if close else None
    return replace(hit, share=hit.share * close[1] * 0.9, guess=True, how="spelling") if hit and close else None


def _settled(text: str, hit: _Hit, concentration: float, lex: Lexicon) -> Match:
    """The row of a hit, chosen by strength where the substance has several."""
    if hit.vague and hit.share < 0.5:
        return Match(text, None, "", hit.share, True, concentration, (), hit.ask, hit.ids, True, hit.how)
    number, near, doubt = by_strength(hit.ids, concentration, hit.told, lex)
    answered = not math.isnan(concentration) and not doubt and hit.ask.startswith("what %")
    ask = "" if answered else hit.ask or doubt
    share = hit.share * (0.7 if doubt else 1.0)
    guess = (hit.guess and not answered) or bool(doubt)
    return Match(text, number, lex.names[number], share, guess, concentration, (), ask, near, hit.vague, hit.how)


@dataclass(frozen=True, slots=True)
class _Piece:
    match: Match
    joined: str
    role: str  # main, trace, cleaning
    words: Key


def _piece(text: str, joined: str, concentration: float, lex: Lexicon) -> _Piece:
    read = read_medium(text)
    key = tokens(read.words)
    share = read.concentration
    if math.isnan(share) and joined in (FIRST, BRACKET):
        share = concentration
    hit = _look(read.words, lex)
    match = _settled(text, hit, share, lex) if hit else Match(text, None, "", 0.0, False, share)
    role = "trace" if lex.words["trace"] & set(key) else "cleaning" if lex.words["cleaning"] & set(key) else "main"
    return _Piece(match, joined, role, key)


def _main(found: list[_Piece]) -> int:
    """Which piece is the medium: the surest that is neither a trace nor a cleaning; what stands in brackets explains the rest."""

    outside = max((p.match.share for p in found if p.joined != BRACKET and p.match.medium_id is not None), default=0.0)

    def rank(n: int) -> tuple[bool, bool, bool, bool, bool, int]:
        piece, share = found[n], found[n].match.share
        sure = piece.match.medium_id is not None
        explains = piece.joined == BRACKET and share >= outside
        return (sure and piece.role == "main", sure, explains, not piece.match.vague, share >= 0.5, -n)

    return max(range(len(found)), key=rank)


def _part(piece: _Piece) -> Part:
    match = piece.match
    role = "component" if piece.role == "main" else piece.role
    number, name = match.medium_id, match.name
    if role == "trace" and number is None and _TRACE_OIL in match.candidates:
        number, name = _TRACE_OIL, "mineral oil (taken for a trace of oil)"
    return Part(match.text, number, name or match.text, role, match.concentration)


def _unknown(piece: _Piece, lex: Lexicon) -> bool:
    """A joined piece with words of its own that say nothing to us: its share may decide the liner."""
    dropped = lex.words["context"] | lex.words["quality"] | lex.words["trace"] | lex.words["cleaning"]
    return piece.joined in (JOINED, FIRST) and piece.match.medium_id is None and any(len(w) > 2 and w not in dropped for w in piece.words)


def _composed(text: str, found: list[_Piece], lex: Lexicon) -> Match:
    """One answer of several pieces."""
    cleaning = False
    for n, piece in enumerate(found):
        cleaning = cleaning or piece.role == "cleaning"
        if cleaning and piece.role == "main":
            found[n] = replace(piece, role="cleaning")
    at = _main(found)
    main = found[at].match
    rest = [piece for n, piece in enumerate(found) if n != at]
    parts = tuple(_part(p) for p in rest if p.match.medium_id is not None or p.match.candidates or _unknown(p, lex))
    told = found[at].joined == BRACKET  # what stands in brackets explains a loose word before it
    odd = [
        p.match.text for p in rest if _unknown(p, lex) and not (p.match.vague and told) and not (p.role == "trace" and p.match.candidates)
    ]
    if main.medium_id is not None and any(lex.aliases.get((str(main.medium_id), "oil")) and "oil" in p.words for p in rest):
        number = lex.aliases[(str(main.medium_id), "oil")][1][0]
        return replace(main, text=text, medium_id=number, name=lex.names[number], share=0.9, guess=True, question="", vague=False)
    ask = main.question or ("what is " + " and ".join(odd) + ", and how much of it?" if odd and main.medium_id is not None else "")
    if main.medium_id is None and not ask:
        ask = next((p.match.question for p in rest if p.match.question), "")
    return replace(main, text=text, parts=parts, question=ask, guess=main.guess or bool(odd and main.medium_id is not None))


@functools.lru_cache(maxsize=65536)
def _find(text: str, concentration: float | None) -> Match:
    lex = lexicon()
    given = NAN if concentration is None else concentration
    read = read_medium(text)
    share = read.concentration if math.isnan(given) else given
    if rows := lex.by_cas.get(read.cas):
        return replace(_settled(text, _Hit(rows, 1.0, len(rows) > 1 and rows[0] not in lex.family), share, lex), how="CAS")
    if hit := _exact(tokens(read.words), lex):
        return _settled(text, hit, share, lex)
    found = [_piece(piece, joined, given, lex) for piece, joined in pieces(text)]
    if not found:
        return Match(text, None, "", 0.0, False, share)
    return _composed(text, found, lex)


def find(text: str, concentration: float = NAN) -> Match:
    """The medium that is meant by what was typed.

    Parameters
    ----------
    text : str
        Medium or service as typed, in any of the languages of the table.
    concentration : float
        Strength from a column of its own, mass share, nan where there is none; it wins over one in the text [-]

    Returns
    -------
    match : Match
        Row of the media table, how sure, whether it is a guess, the strength, what is named beside it, what to ask back;
        ``medium_id`` is None where nothing, or too loose a word, was found.
    """
    return _find(text.strip(), None if math.isnan(concentration) else float(concentration))


def find_many(texts: Iterable[str], concentrations: Iterable[float] | None = None) -> list[Match]:
    """The same for many; equal texts are looked for once.

    Parameters
    ----------
    texts : sequence of str
        Media as typed.
    concentrations : array_like
        Strengths from a column of their own, nan where there is none [-]
    """
    words = list(texts)
    shares = [NAN] * len(words) if concentrations is None else list(concentrations)
    return [find(str(text), float(share)) for text, share in zip(words, shares, strict=True)]
