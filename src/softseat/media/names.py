"""Which row of the media table is meant by the words of a schedule; what is not sure is a guess, shown as one, or a question."""

import functools
import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from softseat.media.lexicon import Key, Lexicon, lexicon
from softseat.media.phrase import Hit, exact, look
from softseat.media.strength import by_strength
from softseat.media.words import BESIDE, BRACKET, FIRST, JOINED, NAN, pieces, read_medium, tokens

NOTHING = "nothing"
_NONE = {"free", "less", "without", "no", "non", "not", "sans", "ohne", "sin", "sensa", "frei"}
_SUBSTANCE = re.compile(
    r"acid|saur|acide|alkal|laug|chlor|fluor|brom|iod|sulf|nitr|fosfo|fosfa|amin|amid|glic|alcohol|alkohol|perox|oxid|oxyd|hidro|hydro|solvent|"
    r"losung|aroma|bens|tolu|xil|keton|ester|ether|acet|form[aio]|fenol|kresol|cresol|oil$|^oil|fett|fat$|grease|wax|tensid|surfact|deterg|biosid|"
    r"biocid|inhibit|additi|caustic|sals?$|salt|brin|oson|ammon|cian|mercap|metan|etan|propan|butan|kero|diesel|petrol|nafta|terp|resin|hars|"
    r"latex|silicon|cresot|bitum|teer|(?:ol|ate|ite|ene|ane|one|ide|ine|yl)$"
)  # of folded words
DOSED = 0.005  # mass share up to which a chemical in water is a dose
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


def _settled(text: str, hit: Hit, concentration: float, lex: Lexicon) -> Match:
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
    equipment: bool = False  # "lube oil cooler": what the machine is for, not what flows


def _piece(text: str, joined: str, concentration: float, lex: Lexicon) -> _Piece:
    read = read_medium(text)
    key = tokens(read.words)
    share = read.concentration
    if math.isnan(share) and joined in (FIRST, BRACKET):
        share = concentration
    hit = look(read.words, lex)
    match = _settled(text, hit, share, lex) if hit else Match(text, None, "", 0.0, False, share)
    role = "trace" if lex.words["trace"] & set(key) else "cleaning" if lex.words["cleaning"] & set(key) else "main"
    return _Piece(match, joined, role, key, joined not in (JOINED, BRACKET) and bool(key) and key[-1] in lex.words["equipment"])


def _main(found: list[_Piece]) -> int:
    """Which piece is the medium: the surest that is neither a trace nor a cleaning; what stands in brackets explains the rest."""

    outside = max((p.match.share for p in found if p.joined != BRACKET and p.match.medium_id is not None), default=0.0)

    def rank(n: int) -> tuple[bool, bool, bool, bool, bool, int]:
        piece, share = found[n], found[n].match.share
        sure = piece.match.medium_id is not None and not piece.equipment
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


def _own(piece: _Piece, lex: Lexicon) -> set[str]:
    """The words of a piece that say neither where nor how."""
    dropped = lex.words["context"] | lex.words["quality"] | lex.words["trace"] | lex.words["cleaning"]
    return {w for w in piece.words if len(w) > 2 and w not in dropped and not w.isdigit()}


def _unknown(piece: _Piece, lex: Lexicon) -> bool:
    """A piece with words of its own that say nothing to us: its share may decide the liner.

    What is said to be *in* the medium (with, plus) counts whatever it is; what stands beside it (condenser inlet, river water) is a
    place or a duty, unless it has a strength or sounds like a substance.
    """
    if piece.match.medium_id is not None or piece.joined not in (JOINED, BESIDE, FIRST):
        return False
    left = _own(piece, lex)
    strong = not math.isnan(read_medium(piece.match.text).concentration)
    return bool(left) and (
        piece.joined == JOINED or strong or any(_SUBSTANCE.search(w) for w in piece.words if w not in lex.words["context"])
    )


def _dosed(main: Match, rest: list[_Piece], lex: Lexicon) -> list[tuple[_Piece, int]]:
    """What is met in so small a share that the medium becomes another row: condensate with ammonia is feed water."""
    found = []
    for piece in rest:
        strong = piece.match.concentration > DOSED
        rows = [lex.aliases[(str(main.medium_id), w)] for w in piece.words if (str(main.medium_id), w) in lex.aliases]
        found += [(piece, row[1][0]) for row in rows if row[0] == "with" and not strong and not _NONE & set(piece.words)]
    return found


def _composed(text: str, found: list[_Piece], lex: Lexicon) -> Match:
    """One answer of several pieces."""
    cleaning = False
    for n, piece in enumerate(found):
        cleaning = cleaning or piece.role == "cleaning"
        if cleaning and piece.role == "main":
            found[n] = replace(piece, role="cleaning")
    at = _main(found)
    main = found[at].match
    rest = [
        piece
        for n, piece in enumerate(found)
        if n != at and not (piece.equipment and main.medium_id is not None) and not _NONE & set(piece.words)
    ]
    parts = tuple(_part(p) for p in rest if p.match.medium_id is not None or p.match.candidates or _unknown(p, lex))
    said = {w for p in found if p.match.medium_id is not None for w in p.words}
    told = found[at].joined == BRACKET  # what stands in brackets explains a loose word before it
    odd = [
        p.match.text
        for p in rest
        if _unknown(p, lex) and not (p.match.vague and told) and not (p.role == "trace" and p.match.candidates) and not said >= _own(p, lex)
    ]
    if main.medium_id is not None and (dosed := _dosed(main, rest, lex)):
        number, gone = dosed[0][1], [piece for piece, _ in dosed]
        left = tuple(_part(p) for p in rest if p not in gone and p.match.medium_id is not None)
        return replace(
            main, text=text, medium_id=number, name=lex.names[number], share=0.9, guess=True, question="", vague=False, parts=left
        )
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
        return replace(_settled(text, Hit(rows, 1.0, len(rows) > 1 and rows[0] not in lex.family), share, lex), how="CAS")
    if hit := exact(tokens(read.words), lex):
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
