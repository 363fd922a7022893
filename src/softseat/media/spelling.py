"""Names that are nearly spelled so: only ever a guess."""

import functools
from collections import defaultdict

from rapidfuzz import fuzz, process

from softseat.media.lexicon import Key, lexicon

_LIKE = 86.0  # per cent of equal letters below which two words are not the same name
_SHORTEST = 5


@functools.cache
def _by_first() -> dict[str, dict[str, Key]]:
    lex = lexicon()
    found: dict[str, dict[str, Key]] = defaultdict(dict)
    for key in (*lex.phrases, *lex.aliases):
        word = "".join(key)
        if len(word) >= _SHORTEST and not any(c.isdigit() for c in word):
            found[word[0]][word] = key
    return found


def nearest(word: str) -> tuple[Key, float] | None:
    """The known name spelled most like this one, and how like (0 to 1); None where none comes near.

    Parameters
    ----------
    word : str
        Folded words without blanks.
    """
    known = _by_first().get(word[:1], {})
    if len(word) < _SHORTEST or not known:
        return None
    best = process.extractOne(word, known.keys(), scorer=fuzz.ratio, score_cutoff=_LIKE)
    return (known[best[0]], best[1] / 100) if best else None
