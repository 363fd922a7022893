"""Texts of items on their way to print: begun and ended as sentences, long words broken, units as they are written."""

import re
from collections.abc import Mapping
from typing import Any

from softseat.papers.texts import catalogue, clean, unit, word

LONG_RUN = re.compile(r"[^\s\-/\u202f]{18,}")  # letters without a place to break that a narrow column cannot hold


def breakable(said: object) -> str:
    """A cleaned text whose over-long words may break: a narrow column then holds any tag."""
    return LONG_RUN.sub(lambda m: re.sub(r"(.{9})(?=.)", "\\1\u200b", m[0]), clean(said))


def opened(said: object) -> str:
    """A cleaned text that begins a line: a first word gets its capital, a symbol or a code is left alone."""
    whole = clean(said)
    return whole[:1].upper() + whole[1:] if re.match(r"[a-z][a-z,;:]* |[a-z]{3}", whole) else whole


def reasoned(said: object) -> str:
    """Why something was taken: a line of its own, a key that a typed word was read as in the words of print."""
    return re.sub(r"(read as )([\w-]+)", lambda m: m[1] + word(m[2]), opened(said))


def ended(said: object) -> str:
    """A cleaned text that ends as a sentence."""
    whole = opened(said)
    return whole if not whole or whole.endswith((".", "?", "!", "…")) else f"{whole}."


def valued(said: object) -> str:
    """A word, or a figure with its unit as printed: "5 C" is 5 °C."""
    whole = clean(said)
    figure = re.fullmatch(r"([-−+]?\d[\d., ]*) (\S.*)", whole)
    return f"{figure[1].replace('-', '−')} {unit(figure[2])}" if figure and f"unit.{figure[2]}" in catalogue() else word(whole)


def printed(value: Any) -> Any:
    """Lists and dictionaries with every text made fit for print; drawings (``svg``) as they are."""
    if isinstance(value, Mapping):
        return {str(k): v if k == "svg" else printed(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [printed(v) for v in value]
    return breakable(value) if isinstance(value, str) else value
