"""``items.json``: every item as plain words and numbers, one line an item, in file order."""

import json
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from softseat.selection.item import Item


def lines(items: Iterable[Item]) -> Iterator[str]:
    """The text of the file, piece by piece; what is no finite number is null."""
    encoder = json.JSONEncoder(ensure_ascii=False, allow_nan=False, default=_opened)
    between = "["
    for item in items:
        try:
            said = encoder.encode(item)
        except ValueError:  # a nan somewhere: the slow way finds it
            said = encoder.encode(plain(item))
        yield f"{between}\n{said}"
        between = ","
    yield "[]\n" if between == "[" else "\n]\n"


def _opened(value: Any) -> Any:
    """What the encoder does not know: records, arrays, sets."""
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: getattr(value, f.name) for f in fields(value)}
    if isinstance(value, Mapping):
        return dict(value)
    if hasattr(value, "tolist"):
        return value.tolist()
    return sorted(value) if isinstance(value, set | frozenset) else str(value)


def plain(value: Any) -> Any:
    """Dictionaries, lists, texts and finite numbers only."""
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, str | int) or value is None:
        return value
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    return plain(_opened(value))
