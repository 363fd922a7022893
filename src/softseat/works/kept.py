"""Items as they were issued, out of ``items.json``: what a works record is judged against months later."""

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import TypeAdapter, ValidationError

from softseat.errors import InputError
from softseat.selection.item import Item, Number

# what the works do not look at, and what may hold a gap where a number could not be told
UNUSED = ("curves", "steps", "ladder", "bolting", "points")
KEYS = {"value", "unit"}
ITEMS: TypeAdapter[Item] = TypeAdapter(Item)


def items_of(told: Iterable[Any]) -> tuple[Item, ...]:
    """The items of a list of records.

    Raises
    ------
    InputError
        Where a record is no item.
    """
    return tuple(_item(place, record) for place, record in enumerate(told, start=1))


def _item(place: int, record: Any) -> Item:
    if not isinstance(record, Mapping):
        raise InputError(f"items.json: entry {place} is no item")
    known = {k: v for k, v in record.items() if k in Item.__dataclass_fields__ and k not in UNUSED}
    try:
        item = ITEMS.validate_python({**known, "tests": _numbers(record.get("tests") or {})})
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise InputError(f"items.json: entry {place} is no item: {where}: {first['msg']}") from None
    return item


def _numbers(value: Any) -> Any:
    """Plain dictionaries that are numbers stand as numbers again."""
    if isinstance(value, Mapping):
        if set(value) >= KEYS and set(value) <= set(Number.__dataclass_fields__):
            return Number(**value)
        return {k: _numbers(v) for k, v in value.items()}
    return [_numbers(v) for v in value] if isinstance(value, list) else value
