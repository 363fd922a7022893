"""What a certificate, a nameplate and a label say of valves that passed; one that did not gets none."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from softseat.errors import InputError, PaperError
from softseat.materials.elastomers import limits
from softseat.selection.item import Item, Number
from softseat.works.record import IN_ORDER, WorksRecord

KINDS = ("2.1", "2.2", "3.1")
Pairs = Sequence[tuple[Item, WorksRecord]]


def certificate_content(pairs: Pairs, kind: str = "3.1", signed_by: str = "") -> dict[str, Any]:
    """What a certificate to EN 10204 says of these valves, for ``papers.certificate``.

    Parameters
    ----------
    pairs : sequence of (Item, WorksRecord)
        The valves of one certificate, each with its item.
    kind : str
        2.1 declaration of compliance, 2.2 test report, 3.1 inspection certificate.
    signed_by : str
        Who signs; without it the inspector of the records.

    Raises
    ------
    InputError
        Where the kind is not known, or there are no valves.
    PaperError
        Where a valve did not pass: says which value; where a 3.1 has no independent inspector.

    References
    ----------
    EN 10204:2004: 2.1 without results, 2.2 with results of non-specific inspection, 3.1 with results of specific inspection,
    validated by the maker's representative who is independent of the making department.
    """
    if kind not in KINDS:
        raise InputError(f"certificate {kind!r} is not known; allowed are {', '.join(KINDS)}")
    if not pairs:
        raise InputError("a certificate needs at least one valve")
    for item, record in pairs:
        _passes(item, record)
    inspectors = list(dict.fromkeys(record.inspector for _, record in pairs))
    if kind == "3.1" and not all(record.independent for _, record in pairs):
        raise PaperError(
            "certificate 3.1: the record does not say that its inspector is independent of the making department "
            "(independent = true); 2.2 is what can be written"
        )
    return {
        "kind": kind,
        "valves": [_valve(item, record) for item, record in pairs],
        "results": [_results(record) for _, record in pairs] if kind != "2.1" else [],
        "gauges": _gauges(pairs) if kind == "3.1" else [],
        "inspectors": inspectors,
        "signed_by": signed_by or ", ".join(inspectors),
        "date": max(record.date for _, record in pairs),
    }


def _passes(item: Item, record: WorksRecord) -> None:
    if not record.passed:
        faults = "; ".join(f"{r.what}: {r.text}{f' ({r.measured} where {r.required})' if r.measured else ''}" for r in record.faults)
        which = record.tag or item.tag or f"item {item.n}"
        raise PaperError(f"no certificate for {which} no. {record.serial or '-'}: {faults or 'no test was made'}")


def _valve(item: Item, record: WorksRecord) -> dict[str, str]:
    choice = item.choice or {}
    keys = ("size", "rating", "body_style", "body", "liner", "liner_grade", "disc", "shaft", "drilling", "operator")
    told = {key: str(choice.get(key, "")) for key in keys}
    heats = ", ".join(f"{part} {number}" for part, number in record.heat.items())
    return {
        **told,
        "tag": record.tag or item.tag,
        "serial": record.serial,
        "build": record.build,
        "item": str(item.n),
        "standard": str(item.tests.get("standard", "")),
        "liner_batch": record.liner_batch,
        "cure_date": record.cure_date,
        "heat": heats,
        "date": record.date,
        "remarks": record.remarks,
    }


def _results(record: WorksRecord) -> dict[str, Any]:
    made = [r for r in record.results if r.passed and r.measured and (r.source != "EN 10204") and r.key not in ("build", "tag", "gauge")]
    seen = [r.what for r in made if r.required == IN_ORDER]
    rows = [
        {"what": r.what, "required": r.required, "measured": r.measured, "note": r.text, "source": r.source}
        for r in made
        if r.required != IN_ORDER
    ]
    left = [r.what for r in record.results if r.passed is None and not r.measured and r.key != "gauge"]
    return {"serial": record.serial, "tag": record.tag, "rows": rows, "seen": seen, "left": left}


def _gauges(pairs: Pairs) -> list[dict[str, str]]:
    """Every gauge once."""
    found: dict[str, dict[str, str]] = {}
    for _, record in pairs:
        for gauge in record.gauges:
            found.setdefault(str(gauge.get("id", "")), {"id": str(gauge.get("id", "")), "due": str(gauge.get("due", ""))})
    return list(found.values())


def liner_temperatures(item: Item) -> tuple[float, float]:
    """Lowest and highest temperature of the liner in degrees Celsius, as the nameplate gives them; nan where not known."""
    found = limits(np.array([str((item.choice or {}).get("liner_grade", ""))]))
    return float(found.t_min[0]) - 273.15, float(found.t_max[0]) - 273.15


def nameplate(item: Item, record: WorksRecord, maker: str, year: str = "") -> dict[str, Any]:
    """The lines of one nameplate and its label.

    Parameters
    ----------
    item, record : Item, WorksRecord
        A valve that passed.
    maker : str
        Name of the maker as it stands on the plate.
    year : str
        Of manufacture; without it that of the test.

    Raises
    ------
    PaperError
        Where the valve did not pass.

    References
    ----------
    EN 19:2016: maker, size, rating, material of the body; liner with its temperatures as API 609 3.3.2; from memory.
    """
    _passes(item, record)
    choice = item.choice or {}
    low, high = liner_temperatures(item)
    temperatures = f"{low:.0f} to {high:.0f} °C" if np.isfinite(low) and np.isfinite(high) else "as the data sheet"
    pressure = item.numbers.get("valve_rating")
    seat = item.tests.get("seat")
    lines = [
        ["", f"{choice.get('size')}  {choice.get('rating')}"],
        ["body", str(choice.get("body"))],
        ["disc, shaft", f"{choice.get('disc')}, {choice.get('shaft')}"],
        ["liner", f"{choice.get('liner')} ({choice.get('liner_grade')}), {temperatures}"],
        ["pressure", f"{pressure.value:g} bar at 20 °C" if pressure is not None and pressure.value is not None else "as the data sheet"],
        ["drilling", str(choice.get("drilling"))],
        [
            "tested",
            f"{item.tests.get('standard', '')}, seat {seat.value:g} bar" if isinstance(seat, Number) and seat.value else "as certificate",
        ],
        ["no.", f"{record.serial}  ({year or record.date[:4]})"],
    ]
    ce = any("2014/68/EU" in str(line.get("method", "")) for line in item.tests.get("plan") or ())
    return {
        "maker": maker,
        "tag": record.tag or item.tag,
        "build": record.build,
        "lines": lines,
        "flow": "either way",
        "ce": "CE, see the declaration of conformity" if ce else "",
        "store": f"liner cured {record.cure_date}, batch {record.liner_batch}",
    }


def open_points(pairs: Pairs) -> Mapping[str, list[str]]:
    """For each serial number what keeps it from a certificate; an empty list: it can have one."""
    return {record.serial or str(n): [f"{r.what}: {r.text}" for r in record.faults] for n, (_, record) in enumerate(pairs, start=1)}
