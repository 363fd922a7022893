"""Every name under which a medium is known: media.csv with its synonyms and CAS numbers, and the trade words beside it."""

import functools
import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from softseat import tables
from softseat.media.words import fold, read_medium, tokens

Key = tuple[str, ...]
FULL, HEAD, BARE = 3, 2, 1  # how a phrase stands in the table: as printed; a name up to its comma; without the strength


@dataclass(frozen=True, slots=True)
class Lexicon:
    """Phrases of the trade by their folded words; ``phrases`` holds (row of media.csv, how it stands there)."""

    phrases: Mapping[Key, tuple[tuple[int, int], ...]]
    orderless: Mapping[frozenset[str], Key]
    joined: Mapping[str, Key]
    by_word: Mapping[str, tuple[Key, ...]]
    by_cas: Mapping[str, tuple[int, ...]]
    names: Mapping[int, str]
    ranges: Mapping[int, tuple[float, float]]  # mass share
    family: Mapping[int, tuple[int, ...]]  # rows of the same substance, weakest first
    ambiguous: Mapping[Key, tuple[tuple[int, ...], str]]
    aliases: Mapping[Key, tuple[str, tuple[int, ...], str, bool]]  # kind, rows, what to ask, too loose (R014)
    words: Mapping[str, frozenset[str]]  # kind -> single words
    endings: tuple[str, ...]


def _ids(text: str) -> tuple[int, ...]:
    """Row numbers named in a cell such as ``126/127/223 hypochlorite; 226 thiosulphate`` (never a number inside a word)."""
    lead = re.findall(r"(?:^|;)\s*(\d+(?:\s*/\s*\d+)*)(?=\s|$|;)", text)
    return tuple(int(n) for group in lead for n in group.split("/"))


def _forms(row: tables.Row) -> list[tuple[str, int]]:
    """(text, how it stands) of every name of one row."""
    name = row["medium"]
    head = re.split(r"[,(]", name)[0]
    synonyms = [s.strip() for s in row["synonyms"].split(";") if s.strip()]
    forms = [(name, FULL), (head, HEAD)] + [(s, FULL) for s in synonyms]
    forms += [(part, HEAD) for part in name.split(" / ") if " / " in name]
    return forms + [(re.sub(r"[<>=\s\d.,/%-]*(?<=\s)[\d.,/%-]+\s*$", "", read_medium(text).words), BARE) for text in (head, *synonyms)]


def _phrases() -> dict[Key, tuple[tuple[int, int], ...]]:
    found: dict[Key, dict[int, int]] = defaultdict(dict)
    for row in tables.read("media"):
        for text, standing in _forms(row):
            if key := tokens(text):
                rows = found[key]
                rows[int(row["id"])] = max(standing, rows.get(int(row["id"]), 0))
    for row in tables.read("strength_families"):
        for number in row["ids"].split():
            found[tokens(row["what"])].setdefault(int(number), BARE)
    return {key: tuple(sorted(rows.items(), key=lambda r: -r[1])) for key, rows in found.items()}


def _ambiguous() -> dict[Key, tuple[tuple[int, ...], str]]:
    found = {}
    for row in tables.read("ambiguous_words"):
        ask = "" if row["ask"].strip() in ("", "-") else row["ask"].strip()
        meanings = tuple(dict.fromkeys(_ids(row["could mean (v2 ids)"])))
        for word in row["word"].split("/"):
            found[tokens(word)] = (meanings, ask)
    return found


def _trade_words() -> tuple[dict[Key, tuple[str, tuple[int, ...], str, bool]], dict[str, frozenset[str]]]:
    aliases: dict[Key, tuple[str, tuple[int, ...], str, bool]] = {}
    words: dict[str, set[str]] = defaultdict(set)
    for row in tables.read("medium_words"):
        if row["kind"] in ("alias", "guess", "vague", "with"):
            loose = row["kind"] == "vague" or row["source"].startswith("house_limits")
            aliases[tokens(row["word"])] = (row["kind"], tuple(int(n) for n in row["ids"].split()), row["ask"], loose)
        elif row["kind"] == "ending":
            words["ending"] |= {fold(w) for w in row["word"].split()}
        else:
            words[row["kind"]] |= set(tokens(row["word"]))
    return aliases, {kind: frozenset(found) for kind, found in words.items()}


def _families() -> dict[int, tuple[int, ...]]:
    rows = [tuple(int(n) for n in row["ids"].split()) for row in tables.read("strength_families")]
    return {one: family for family in rows for one in family}


@functools.cache
def lexicon() -> Lexicon:
    """The index of all names, built at first use."""
    phrases = _phrases()
    aliases, words = _trade_words()
    by_word: dict[str, list[Key]] = defaultdict(list)
    for key in phrases:
        for word in set(key):
            by_word[word].append(key)
    by_cas: dict[str, list[int]] = defaultdict(list)
    names, ranges = {}, {}
    for row in tables.read("media"):
        number = int(row["id"])
        names[number] = row["medium"]
        by_cas[row["CAS"]].append(number)
        ranges[number] = (tables.number(row["c_min_pct"], "%"), tables.number(row["c_max_pct"], "%"))
    return Lexicon(
        phrases,
        {frozenset(key): key for key in reversed(list(phrases))},
        {"".join(key): key for key in reversed(list(phrases))},
        {word: tuple(keys) for word, keys in by_word.items()},
        {cas: tuple(rows) for cas, rows in by_cas.items() if cas},
        names,
        ranges,
        _families(),
        _ambiguous(),
        aliases,
        words,
        tuple(sorted(words.get("ending", frozenset()), key=len, reverse=True)),
    )
