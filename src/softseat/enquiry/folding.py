"""Words as they are compared: without capitals, accents, dots, blanks and hyphens."""

import functools
import re
import unicodedata

_SPELT = str.maketrans({"ß": "ss", "ø": "o", "Ø": "Ø", "æ": "ae"})


@functools.lru_cache(maxsize=65536)
def plain(text: str) -> str:
    """Small letters without accents, blanks single; signs stay."""
    if text.isascii():
        return " ".join(text.split()).lower()
    text = unicodedata.normalize("NFKD", text.replace("Δ", "delta ").replace("°", " deg ").translate(_SPELT))
    text = "".join(c for c in text if not unicodedata.combining(c))
    return re.sub(r"\s+", " ", text.replace("’", "'")).strip().lower()


@functools.lru_cache(maxsize=65536)
def fold(text: str) -> str:
    """Letters, digits and the signs that tell words apart, nothing else: ``Tag No.`` and ``TAG-NO`` are one."""
    return re.sub(r"[^a-z0-9ø%/+#\"']", "", _without_umlauts(plain(text)))


@functools.lru_cache(maxsize=65536)
def words(text: str) -> tuple[str, ...]:
    """The words of a text, folded."""
    return tuple(re.findall(r"[a-z0-9ø%#]+", _without_umlauts(plain(text))))


def _without_umlauts(text: str) -> str:
    """German is typed with umlauts, with an e for the dots, or with neither: all three are one."""
    return re.sub("([aou])e", r"\1", text)
