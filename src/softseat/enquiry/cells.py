"""One cell of one column: what it says, by the kind of its field."""

import re
from collections.abc import Callable

from softseat.enquiry.choices import body_said, choice_said, is_blank, liner_said, matched, metal_said, yes_no_said
from softseat.enquiry.drives import duty_said, operator_said, service_said
from softseat.enquiry.fieldtable import columns
from softseat.enquiry.figures import (
    air_said,
    concentration_said,
    cycles_said,
    figure_said,
    opening_said,
    ph_said,
    quantity_said,
    tag_said,
    text_said,
    viscosity_said,
)
from softseat.enquiry.flows import flow_said
from softseat.enquiry.named_parts import specification_said
from softseat.enquiry.pressures import difference_said, pressure_said
from softseat.enquiry.ratings import rating_said
from softseat.enquiry.reading import Column, Said, unreadable
from softseat.enquiry.sizes import size_said
from softseat.enquiry.temperatures import cleaning_said, temperature_said
from softseat.errors import InputError
from softseat.names import names
from softseat.sheet import UNREADABLE

Reader = Callable[[str, Column], tuple[Said, ...]]
CHOICES = ("body_style", "fail", "flange_face", "flange_type", "state", "installation", "orientation", "pipe_system", "liner_build")
READERS: dict[str, Reader] = {
    **dict.fromkeys(("p1", "p2", "p_max", "p_design", "p_min"), pressure_said),
    **dict.fromkeys(("drop", "shutoff"), difference_said),
    **dict.fromkeys(("t_min", "t_normal", "t_max"), temperature_said),
    **dict.fromkeys(("flow", "flow_min", "flow_max"), flow_said),
    **dict.fromkeys(("air_min", "air_max"), air_said),
    **dict.fromkeys(("disc", "shaft"), metal_said),
    **dict.fromkeys(CHOICES, choice_said),
    **dict.fromkeys(("body", "body_style"), body_said),
    **dict.fromkeys(("removable_side", "pump_trip"), yes_no_said),
    "tag": tag_said,
    "quantity": quantity_said,
    "size": size_said,
    "rating": rating_said,
    "liner": liner_said,
    "operator": operator_said,
    "duty": duty_said,
    "service": service_said,
    "specification": specification_said,
    "excursion": cleaning_said,
    "cycles": cycles_said,
    "viscosity": viscosity_said,
    "ph": ph_said,
    "concentration": concentration_said,
    "opening": opening_said,
}
PIPE_CLASS = re.compile(r"\bSDR\s*\d+(?:[.,]\d)?|\bsch(?:edule|\.)?\s*\d+s?\b|\b(?:STD|XS)\b", re.I)
_ERRORS = ("#REF!", "#VALUE!", "#N/A", "#DIV/0!", "#NAME?", "#NUM!", "#NULL!")


def reader_of(field: str) -> Reader:
    """What reads a column of this field."""
    if field == "pipe_system":
        return _pipe_said
    if field == "system":
        return _system_said
    if field in READERS:
        return READERS[field]
    return figure_said if columns().get(field) == "number" else text_said


def _system_said(text: str, column: Column) -> tuple[Said, ...]:
    """A column of end connections: drilling, rating and face; what names neither stays text."""
    found = rating_said(text, column)
    if any(s.name in ("system", "flange_face") or (s.name == "rating" and s.value) for s in found):
        return tuple(s for s in found if s.value != "")
    style, kind = matched("body_style", text), matched("flange_type", text)
    beside = (Said("body_style", style.key),) if style.exact else (Said("flange_type", kind.key),) if kind.exact else ()
    return beside or (Said("system", text),)


def _pipe_said(text: str, column: Column) -> tuple[Said, ...]:
    """A pipe, and the class that often stands beside it: ``PE100 SDR 11``, ``steel sch 40``."""
    found = choice_said(text, column)
    wall = PIPE_CLASS.search(text)
    return (*found, Said("pipe_class", wall.group())) if wall else found


def cell_said(text: str, column: Column) -> tuple[Said, ...]:
    """Everything that a cell says; an empty or blank-worded cell says nothing, one that cannot be read says so."""
    field = column.fields[0]
    if text.strip().upper() in _ERRORS:
        return unreadable(field, f"the workbook shows {text.strip()} here")
    own = matched(field, text) if field in CHOICES or field == "operator" else None
    if is_blank(text) and not (own and own.exact and not own.doubt):
        return ()
    if len(column.fields) > 1 and not _one_reader(column):
        return _parts_said(text, column)
    try:
        return reader_of(field)(text, column)
    except InputError as error:
        return unreadable(field, str(error))


def _one_reader(column: Column) -> bool:
    return len({reader_of(f) for f in column.fields}) == 1 and reader_of(column.fields[0]) not in (text_said, metal_said, figure_said)


def _parts_said(text: str, column: Column) -> tuple[Said, ...]:
    """A heading of unlike fields (``Body/Disc/Seat``): the cell's parts in the same order."""
    parts = [p.strip() for p in text.split("/")]
    if len(parts) != len(column.fields) and "remarks" in column.fields:
        first = next(f for f in column.fields if f != "remarks")
        told = cell_said(text, Column(column.heading, column.place, (first,), "", "", column.decimal))
        remark = cell_said(text, Column(column.heading, column.place, ("remarks",), "", "", column.decimal))
        return (*(s for s in told if s.state != UNREADABLE), *remark)  # "drive and remarks": what it says of the drive, and all of it
    if len(parts) != len(column.fields) and all(reader_of(f) in (text_said, service_said) for f in column.fields):
        return cell_said(
            text, Column(column.heading, column.place, column.fields[:1], "", "", column.decimal)
        )  # "Product / duty": one name
    if len(parts) < len(column.fields):
        parts = text.split()
    if len(parts) != len(column.fields):
        return unreadable(column.fields[0], f"{text!r} has not {len(column.fields)} parts as its heading has")
    said: tuple[Said, ...] = ()
    for part, field in zip(parts, column.fields, strict=True):
        said += cell_said(part, Column(column.heading, column.place, (field,), "", "", column.decimal))
    return said


def labelled(field: str) -> str:
    """What people call a field."""
    known = names()
    return known[field].label if field in known else field.strip("_").replace("_", " ")
