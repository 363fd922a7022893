"""Which rows of the media table a phrase names: as printed, as an alias, by the words in it, by its spelling."""

import re
from dataclasses import dataclass, replace

from softseat.media.lexicon import HEAD, Key, Lexicon
from softseat.media.spelling import nearest
from softseat.media.words import tokens

_FORMULA = re.compile(r"(h|na|k|li|ca|mg|al|fe|cu|zn|nh)(cl|oh|br|f|cn|ocl|clo|no|so|co|s)")
_SURE = {"alias": 1.0, "guess": 0.8, "vague": 0.3}


@dataclass(frozen=True, slots=True)
class Hit:
    ids: tuple[int, ...]
    share: float
    guess: bool = False
    ask: str = ""
    vague: bool = False
    how: str = "name"
    told: bool = False  # the words themselves say the strength


def exact(key: Key, lex: Lexicon) -> Hit | None:
    """The key as an alias or a printed name, word order and blanks apart."""
    if not key:
        return None
    for known in (key, lex.orderless.get(frozenset(key), ()), lex.joined.get("".join(key), ())):
        if known in lex.aliases:
            kind, ids, ask, loose = lex.aliases[known]
            if kind in _SURE:
                return Hit(ids, _SURE[kind], kind != "alias", ask, loose, "alias")
        if known in lex.phrases:
            return _named(known, lex)
    return Hit(lex.ambiguous[key][0], 0.6, True, lex.ambiguous[key][1]) if lex.ambiguous.get(key, ((),))[0] else None


def _named(key: Key, lex: Lexicon) -> Hit:
    rows = lex.phrases[key]
    best = [number for number, standing in rows if standing == rows[0][1]]
    told = bool(lex.words["strength"] & set(key)) or any(word.isdigit() for word in key)
    if key in lex.ambiguous and lex.ambiguous[key][1]:
        meanings, ask = lex.ambiguous[key]
        if ask.startswith("spell out"):
            return Hit(tuple(best), 0.9, True, told=told)
        return Hit(tuple(dict.fromkeys((*best, *meanings))), 0.6, True, ask, told=told)
    if len(best) > 1 and lex.family.get(best[0], ()) != lex.family.get(best[1], (0,)):
        share = 0.9 if rows[0][1] == HEAD else 0.7
        return Hit(tuple(best), share, True, "which one: " + "; ".join(lex.names[n] for n in best) + "?", told=told)
    return Hit(tuple(best), 1.0, told=told)


def _weight(word: str) -> int:
    """Letters of a word; a formula says more than its length."""
    telling = any(c.isdigit() for c in word) or _FORMULA.fullmatch(word)
    return max(len(word), 8) if telling and not word.isdigit() else len(word)


def _letters(key: Key) -> int:
    return sum(map(_weight, set(key)))


def _stands(phrase: Key, key: Key) -> bool:
    """Whether a phrase of several words stands in the text as it is printed."""
    return len(phrase) > 1 and any(key[n : n + len(phrase)] == phrase for n in range(len(key)))


def _inside(key: Key, telling: Key, lex: Lexicon) -> Hit | None:
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
    hit = exact(best, lex)
    if hit is None or (covered < 0.3 and not hit.vague):
        return None
    return replace(hit, share=hit.share * (0.5 + 0.5 * covered) * 0.95, guess=True, how="words")


def _of_small_words(key: Key, lex: Lexicon) -> Hit | None:
    """A name whose words each only say where: vacuum pump suction."""
    known = [phrase for phrase in lex.aliases if len(phrase) > 1 and _stands(phrase, key)]
    return exact(max(known, key=len), lex) if known else None


def _around(key: Key, lex: Lexicon) -> Hit | None:
    """Phrases that hold all the words and more: the text says less than the table."""
    if sum(map(len, key)) < 5 or any(word not in lex.by_word for word in key):
        return None
    known = set.intersection(*(set(lex.by_word[word]) for word in key))
    ids = tuple(dict.fromkeys(number for phrase in sorted(known, key=len) for number, _ in lex.phrases[phrase]))
    if not ids or len(ids) > 6:
        return None
    if len(ids) == 1 or len({lex.family.get(n, (n,)) for n in ids}) == 1:
        return Hit(ids, 0.6, True, how="words")
    return Hit(ids, 0.3, True, "which one: " + "; ".join(lex.names[n] for n in ids) + "?", True, "words")


def look(words: str, lex: Lexicon) -> Hit | None:
    """One medium without its strength: the surest reading first."""
    key = tokens(words)
    bare = tuple(w for w in key if w not in lex.words["context"] and w not in lex.words["trace"])
    plain = tuple(w for w in bare if w not in lex.words["quality"] and not w.isdigit() and w not in lex.words["cleaning"])
    if hit := exact(key, lex) or exact(bare, lex):
        return hit
    if hit := exact(plain, lex) or exact(_without_endings(plain, lex), lex):
        return replace(hit, share=hit.share * 0.9, guess=True)
    if not plain:
        return _of_small_words(key, lex)
    hit = _inside(key, bare, lex) or _inside(bare, bare, lex) or _around(plain, lex)
    return hit if hit and not hit.vague else _spelled(plain, lex) or hit


def _without_endings(key: Key, lex: Lexicon) -> Key:
    """German compounds without the tail that only says where (Ammoniakleitung)."""
    return tuple(next((w[: -len(e)] for e in lex.endings if w.endswith(e) and len(w) > len(e) + 3), w) for w in key)


def _spelled(key: Key, lex: Lexicon) -> Hit | None:
    close = nearest("".join(key))
    hit = exact(close[0], lex) if close else None
    return replace(hit, share=hit.share * close[1] * 0.9, guess=True, how="spelling") if hit and close else None
