"""The check of a maker's package: files, headings and cells against the schema, then against the trade."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from frictionless import Resource, Schema

from softseat.errors import DataError, UnknownName
from softseat.maker.consistency import CHECKS
from softseat.maker.faults import Fault, Filed, filed
from softseat.maker.package import DESCRIPTOR, SHIPPED, descriptor, factor, head, number
from softseat.units import SI

NEEDED = ("valves", "liners", "discs", "bodies", "shafts", "bushes")  # the others may be empty: a model stands in, or none is offered


def check(folder: Path) -> list[Fault]:
    """Everything in a maker's package that cannot stand, file by file; an empty list: it can be offered from.

    The schema is the one of the shipped package: a folder may hold more columns and files, not fewer.
    """
    folder = Path(folder)
    try:
        told = descriptor(folder)
    except DataError as mistake:
        return [Fault(DESCRIPTOR, None, "", str(mistake), "a data package with name, title and resources")]
    paths = {r["name"]: r["path"] for r in told["resources"]}
    package: dict[str, Filed] = {}
    faults: list[Fault] = []
    for resource in descriptor(SHIPPED)["resources"]:
        name = resource["name"]
        try:
            package[name] = filed(folder / paths.get(name, resource["path"]))
        except DataError as mistake:
            faults.append(Fault(paths.get(name, resource["path"]), None, "", str(mistake), f"a CSV file: {resource['title']}"))
            continue
        if name not in paths:
            faults.append(Fault(DESCRIPTOR, None, "", name, f"a resource of that name with its path, {resource['path']}"))
        faults += _file(package[name], resource["schema"], name in NEEDED)
    package = {r["name"]: package.get(r["name"], Filed(r["path"], (), ())) for r in descriptor(SHIPPED)["resources"]}
    return [*faults, *(fault for look in CHECKS for fault in look(package))]


def _file(found: Filed, schema: dict[str, Any], needed: bool) -> list[Fault]:
    faults = [Fault(found.file, row, "", f"{cells} cells", f"{len(found.heads)}, as many as headings") for row, cells in found.ragged]
    headings = list(_headings(found, schema))
    faults += headings
    if not found.rows:
        empty = [Fault(found.file, None, "", "no rows", "at least one row under the headings")] if needed and not faults else []
        return faults + empty
    missing = {fault.column for fault in headings}
    return faults + list(_cells(found, schema, missing))


def _headings(found: Filed, schema: dict[str, Any]) -> Iterator[Fault]:
    have = {head(h)[0]: h for h in found.heads}
    if len(have) != len(found.heads):
        yield Fault(found.file, 1, "", ", ".join(found.heads), "each heading once")
    for field in schema["fields"]:
        name, unit = head(field["name"])
        heading = have.get(name)
        if heading is None:
            yield Fault(found.file, 1, field["name"], "", f"the heading {field['name']!r}: {field['description']}")
        elif not _same_dimension(name, head(heading)[1], unit):
            yield Fault(found.file, 1, heading, heading, f"the heading {field['name']!r}, or another unit of that kind")
    for name, heading in have.items():
        unit = head(heading)[1]
        if unit is not None and not _known(name, unit):
            yield Fault(found.file, 1, heading, unit, ", ".join(sorted(SI)))


def _known(name: str, unit: str) -> bool:
    try:
        factor(name, unit)
    except UnknownName:
        return False
    return True


def _same_dimension(name: str, unit: str | None, wanted: str | None) -> bool:
    if unit == wanted:
        return True
    return unit in SI and wanted in SI and SI[unit][2] == SI[wanted][2] and _known(name, unit)


def _cells(found: Filed, schema: dict[str, Any], without: set[str]) -> Iterator[Fault]:
    """Faults of single cells, seen by frictionless; it is handed the columns of the schema alone, so that others may stand beside."""
    fields = [f for f in schema["fields"] if f["name"] not in without]
    if not fields:
        return  # no heading is left of those wanted: that has been said
    names = [head(f["name"])[0] for f in fields]
    by_name = {f["name"]: f for f in fields}
    keys = [k for k in schema["primaryKey"] if k in by_name]
    data = [[f["name"] for f in fields], *([row[n] for n in names] for row in found.rows)]
    numeric = [(f, n) for f, n in zip(fields, names, strict=True) if f["type"] == "number"]
    seen: set[tuple[int, str]] = set()
    report = Resource(data=data, schema=Schema.from_descriptor({"fields": fields, "primaryKey": keys})).validate()
    for error in (e for task in report.tasks for e in task.errors):
        row = found.rows[error.row_number - 2] if getattr(error, "row_number", None) else None
        field = by_name.get(getattr(error, "field_name", ""))
        if row is not None and field is not None:
            seen.add((row.number, head(field["name"])[0]))
            yield found.fault(row, head(field["name"])[0], _allowed(field))
        elif row is not None and keys:
            yield found.fault(row, head(keys[0])[0], f"each {', '.join(head(k)[0] for k in keys)} once")
        else:
            yield Fault(found.file, None, "", error.note, "a table as its schema says")
    for row in found.rows:  # frictionless lets nan, inf and 1_000 pass
        yield from (found.fault(row, n, _allowed(f)) for f, n in numeric if (row.number, n) not in seen and not _plain(row[n]))


def _plain(cell: str) -> bool:
    try:
        number(cell)
    except ValueError:
        return False
    return True


def _allowed(field: dict[str, Any]) -> str:
    rules = field.get("constraints", {})
    if "enum" in rules:
        return ", ".join(map(str, rules["enum"]))
    said = ["a number" if field["type"] == "number" else "text"]
    said += [f"from {rules['minimum']}"] if "minimum" in rules else []
    said += [f"to {rules['maximum']}"] if "maximum" in rules else []
    said += ["not empty"] if rules.get("required") else []
    said += [f"of the form {rules['pattern']}"] if "pattern" in rules else []
    return " ".join(said) + f": {field['description']}"
