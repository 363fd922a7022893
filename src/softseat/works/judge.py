"""A works record against the plan of its valve: every test passes or is said not to, and nothing is left out in silence."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from softseat.errors import InputError
from softseat.maker.package import Maker
from softseat.selection.item import Item, Number
from softseat.tables import Row, number, read
from softseat.works.build import nominal
from softseat.works.figures import at_most, coat_holds, figure, looked, many, readings_within, span, told
from softseat.works.holds import asked_of, judged, required
from softseat.works.life import day, storage
from softseat.works.practice import practice
from softseat.works.record import IN_ORDER, PARTS, Result, WorksRecord, checked, wanted

Judged = tuple[bool | None, str, str, str]  # passed, required, measured, why


def judge(item: Item, record: Mapping[str, Any], maker: Maker | None = None) -> WorksRecord:
    """One valve: passes only where every test that its plan asks of each valve was made and held.

    Parameters
    ----------
    item : Item
        The item as offered, with its plan.
    record : mapping
        What was measured: see ``blank_record``. A bare number is one of the unit in ``works_tests.csv``.
    maker : Maker
        For nominal figures of hardness and coats.

    Raises
    ------
    InputError
        Where the item has no plan, or the record holds a word that is not known or a figure that cannot be read.
    """
    told_ = checked(record)
    if not item.choice or not item.tests.get("plan"):
        raise InputError(f"item {item.n} ({item.tag}): it has no test plan, the verdict is {item.offered}")
    values: dict[str, float] = {}
    results = [*_identity(item, told_), *_tests(item, told_, maker, values), *_unplanned(item, told_)]
    _torque_close(told_, values)
    return WorksRecord(
        tag=str(told_.get("tag", "")),
        serial=str(told_.get("serial", "")),
        build=str(told_.get("build", "")),
        date=str(told_.get("date", "")),
        inspector=str(told_.get("inspector", "")),
        independent=told_.get("independent") is True,
        liner_batch=str(told_.get("liner_batch", "")),
        cure_date=str(told_.get("cure_date", "")),
        heat={k: str(v) for k, v in dict(told_.get("heat") or {}).items() if v},
        gauges=tuple({k: str(v) for k, v in g.items()} for g in told_.get("gauges") or ()),
        results=tuple(results),
        values=values,
        remarks=str(told_.get("remarks", "")),
    )


def _identity(item: Item, record: Mapping[str, Any]) -> list[Result]:
    """Which valve it is and what it is made of: without that a measured value belongs to nothing."""
    heat = dict(record.get("heat") or {})
    rows = [(key, str(record.get(key) or "")) for key in ("serial", "date", "inspector", "liner_batch")]
    rows += [(f"heat of {part}", str(heat.get(part) or "")) for part in PARTS]
    found = [Result(k, k.replace("_", " "), "named", v, bool(v), "" if v else "not named", "EN 10204") for k, v in rows]
    build, asked = str(record.get("build") or ""), str((item.choice or {})["build"])
    same = build == asked
    found.append(Result("build", "build", asked, build or "not named", same, "" if same else "another build than was offered", "order"))
    if item.tags or item.tag:
        tag, tags = str(record.get("tag") or ""), [*item.tags, item.tag]
        found.append(
            Result("tag", "tag", ", ".join(dict.fromkeys(tags)), tag, tag in tags, "" if tag in tags else "not a tag of this item")
        )
    return found + _gauges(record)


def _gauges(record: Mapping[str, Any]) -> list[Result]:
    """A gauge whose calibration had run out on the day of the test measured nothing."""
    if not record.get("gauges"):
        return [Result("gauge", "gauge", "calibrated on the day", "", None, "no gauge is named: its calibration is not shown")]
    found = []
    for gauge in record["gauges"]:
        due = str(gauge.get("due", ""))
        on = str(record.get("date") or "")
        good = bool(due and on) and day(due) >= day(on)
        why = "" if good else f"calibration ran out on {due}" if due and on else "no date of its next calibration"
        found.append(Result("gauge", f"gauge {gauge.get('id', '')}", "calibrated on the day", f"due {due}" if due else "", good, why))
    return found


def _tests(item: Item, record: Mapping[str, Any], maker: Maker | None, values: dict[str, float]) -> list[Result]:
    found = []
    for line, row in wanted(item):
        key, value, must = row["key"], record.get(row["key"]), line["extent"] == "each"
        what = str(line["characteristic"])
        if key == "rubber_age":
            value = value or record.get("cure_date")
        if value in (None, "", [], {}):
            text = "not measured" if must else f"not measured: by {line['extent']}"
            found.append(Result(key, what, _required(item, row), "", False if must else None, text, row["source"]))
            continue
        passed, asked, measured, why = _judged(item, record, row, value, maker, values)
        found.append(Result(key, what, asked, measured, passed, why, row["source"]))
    return found


def _required(item: Item, row: Row) -> str:
    return required(asked_of(item, row["key"])) if row["kind"] == "hold" else ""


def _judged(item: Item, record: Mapping[str, Any], row: Row, value: Any, maker: Maker | None, values: dict[str, float]) -> Judged:
    """One test by its kind."""
    key, unit, kind = row["key"], row["unit"], row["kind"]
    if kind == "hold":
        asked = asked_of(item, key)
        passed, measured, why = judged(asked, value, key)
        return passed, required(asked), measured, why
    if kind == "seen":
        good, words = looked(value, row["either_way"] == "defects")
        return good, IN_ORDER, words, "" if good else "not in order"
    if kind == "age":
        return _age(item, str(value), str(record.get("date") or ""))
    if kind == "most":
        amount = figure(value["torque"] if isinstance(value, Mapping) and "torque" in value else value, unit, key)
        values[key] = amount
        values |= _conditions(value, key)
        good, asked_, why = at_most(amount, _limit(item, row), unit)
        return good, asked_, told(amount, unit), why
    readings = many(value, unit, key)
    if not readings.size:
        return False, "readings", "", "no readings"
    values[key] = float(np.median(readings))
    middle = _nominal(item, row, maker)
    if kind == "coat":
        good, asked_, why = coat_holds(readings, middle)
    else:
        good, asked_, why = readings_within(readings, middle, _either_way(item, row), unit)
    return good, asked_, span(readings, unit), why


def _conditions(value: Any, key: str) -> dict[str, float]:
    """Under which difference a torque was taken; without a word none is known."""
    if not isinstance(value, Mapping):
        return {}
    return {f"{key}_difference": figure(value["difference"], "bar", key)} if value.get("difference") not in (None, "") else {}


def _torque_close(record: Mapping[str, Any], values: dict[str, float]) -> None:
    amount = figure(record.get("torque_close"), "N m", "torque_close")
    if np.isfinite(amount):
        values["torque_close"] = amount


def _limit(item: Item, row: Row) -> float:
    """What a figure may be at most: of the item, or of the house."""
    word = row["either_way"]
    if word == "torque_unseating":
        torque = item.numbers.get(word)
        return float(torque.high) if torque is not None and torque.high is not None else float("nan")
    if word == "stroke_time":
        asked = item.duty.get(word)
        return float(asked.value) if isinstance(asked, Number) and asked.value is not None else float("nan")
    return practice(word)


def _nominal(item: Item, row: Row, maker: Maker | None) -> float:
    kind, _, name = row["nominal"].partition(" ")
    if kind == "dimension":
        size = item.dimensions.get(name)
        return float(size.value) * 1e-3 if size is not None and size.value is not None else float("nan")
    return nominal(item, maker, name) if maker is not None else float("nan")


def _either_way(item: Item, row: Row) -> float:
    """Allowance about the nominal; of a face-to-face the narrowest of the series that have this length at this size."""
    if row["either_way"] != "EN 558":
        return practice(row["either_way"])
    size, length = str((item.choice or {})["size"]).removeprefix("DN"), item.dimensions.get("face_to_face")
    near = [r for r in read("face_to_face") if r["DN"] == size and length is not None and number(r["L_mm"]) == length.value]
    return min((number(r["tol_mm"], "mm") for r in near), default=float("nan"))


def _age(item: Item, cured: str, on: str) -> Judged:
    """Time since cure against the storage period of the rubber; a rubber whose period is not known cannot be judged."""
    if not on:
        return False, "", cured, "no date of the test, so no age"
    held = storage(str((item.choice or {}).get("liner", "")), cured, on)
    why = "" if held.good else held.text
    return held.good, f"not over {held.first:g} years since cure", f"cured {cured}, {held.age:.1f} years", why


def _unplanned(item: Item, record: Mapping[str, Any]) -> list[Result]:
    """What was measured though the plan of this valve does not ask for it: kept, and said."""
    asked = {row["key"] for _, row in wanted(item)}
    extra = [k for k in dict.fromkeys(r["key"] for r in read("works_tests")) if k not in asked and record.get(k) not in (None, "", [], {})]
    text = "measured, but not in the plan of this valve: not judged"
    return [Result(k, k.replace("_", " "), "", str(record[k]), None, text) for k in extra]


def judge_order(items: Sequence[Item], records: Sequence[Mapping[str, Any]], maker: Maker | None = None) -> list[tuple[Item, WorksRecord]]:
    """Every record with the item that its tag, or its build, names.

    Raises
    ------
    InputError
        Where a record belongs to no item, to several, or a serial number stands twice.
    """
    found: list[tuple[Item, WorksRecord]] = []
    for record in records:
        tag, build = str(record.get("tag") or ""), str(record.get("build") or "")
        fit = [i for i in items if tag and tag in (*i.tags, i.tag)] or [
            i for i in items if not tag and (i.choice or {}).get("build") == build
        ]
        if len(fit) != 1:
            said = "belongs to no item" if not fit else f"fits {len(fit)} items"
            raise InputError(f"works record {record.get('serial', '')}: tag {tag!r}, build {build!r} {said} of this order")
        found.append((fit[0], judge(fit[0], record, maker)))
    serials = [r.serial for _, r in found if r.serial]
    twice = sorted({s for s in serials if serials.count(s) > 1})
    if twice:
        raise InputError(f"serial number {twice[0]!r} stands in two records")
    return found


def missing(items: Sequence[Item], found: Sequence[tuple[Item, WorksRecord]]) -> list[str]:
    """What is still open of an order, in sentences: pieces without a record, and records that do not pass."""
    open_ = []
    for item in items:
        count = sum(one is item for one, _ in found)
        if item.choice and count < item.quantity:
            open_.append(f"item {item.n} ({item.tag}): {item.quantity - count} of {item.quantity} pieces have no works record")
    for _, record in found:
        faults = "; ".join(f"{r.what}: {r.text}" for r in record.faults)
        open_ += [f"{record.tag} no. {record.serial} does not pass: {faults}"] if not record.passed else []
    return open_
