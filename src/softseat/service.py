"""After the order: works records and certificates, complaints, histories of strokes, life of liners."""

import json
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np

from softseat.errors import InputError
from softseat.job import explained, taken_in
from softseat.maker.package import Maker, load
from softseat.papers.certificate import certificate_pdf, labels_pdf
from softseat.papers.frame import Frame
from softseat.papers.order import read_order
from softseat.papers.report import site_report_pdf
from softseat.selection.item import Item
from softseat.selection.weighed import maker_words
from softseat.units import read as read_unit
from softseat.works.build import shapes_of
from softseat.works.certificate import certificate_content, nameplate
from softseat.works.feedback import measured_rows, with_tested
from softseat.works.history import read_history
from softseat.works.judge import judge_order, missing
from softseat.works.life import Compound, Life, liner_life, spare, storage
from softseat.works.record import WorksRecord, blank_record, read_records
from softseat.works.replace import Replacement, replacement
from softseat.works.watch import Watch, limits_of, watch
from softseat.works.why import Answers, Cause, questions, report_content, why

KELVIN, DAY = 273.15, 86400.0


def _items(enquiry: Path, maker: Path | None) -> tuple[Item, ...]:
    return explained(taken_in(enquiry), load(maker))


def _item(enquiry: Path | None, tag: str, maker: Path | None) -> Item | None:
    """The item of a tag.

    Raises
    ------
    InputError
        Where the tag is missing, or none or several of the enquiry's.
    """
    if enquiry is None:
        return None
    items = _items(enquiry, maker)
    fit = [i for i in items if tag in (i.tag, *i.tags)]
    if len(fit) != 1:
        some = ", ".join(i.tag for i in items[:8])
        raise InputError(f"tag {tag!r} fits {len(fit)} items of {enquiry.name}; its tags are {some}{' ...' if len(items) > 8 else ''}")
    return fit[0]


def works_blank(enquiry: Path, file: Path, maker: Path | None = None) -> str:
    """Write the records to be filled in, one for each piece that is offered, with the keys that its plan asks for."""
    records = [{**blank_record(i), "tag": i.tag} for i in _items(enquiry, maker) if i.choice for _ in range(i.quantity)]
    _write(file, json.dumps(records, ensure_ascii=False, indent=1).encode())
    return f"{len(records)} records to fill in: {file}"


def works_papers(
    enquiry: Path,
    records: Path,
    out: Path,
    *,
    maker: Path | None = None,
    order: Path | None = None,
    kind: str = "3.1",
    signed: str = "",
    feed: Path | None = None,
) -> str:
    """Judge the records of an order against each valve's plan; certificate and labels of those that passed.

    ``feed`` names a new folder for a copy of the maker's data with the measured torques as tested.

    Raises
    ------
    InputError, PaperError
        Where a record fits no item, or no valve passed, or the kind of certificate is not allowed for these records.
    """
    known, items = load(maker), _items(enquiry, maker)
    found = judge_order(items, read_records(records), known)
    good = [(i, r) for i, r in found if r.passed]
    lines = [f"{r.tag} no. {r.serial}: {'passed' if r.passed else 'NOT passed'}" for _, r in found]
    lines += missing(items, found)
    if good:
        frame = Frame(enquiry.stem, maker_words(known), read_order(order) if order else None)
        content = certificate_content(good, kind, signed)
        _write(out / "certificate.pdf", certificate_pdf(frame, content))
        _write(out / "labels.pdf", labels_pdf(frame, [nameplate(i, r, known.name) for i, r in good]))
        lines.append(f"certificate {kind} and labels of {len(good)} valves: {out}")
    lines += _fed(found, known, feed) if feed else []
    return "\n".join(lines)


def _fed(found: Sequence[tuple[Item, WorksRecord]], known: Maker, feed: Path) -> list[str]:
    """A copy of the maker's data in which the torques of these records stand as tested; the maker's own folder is not touched."""
    measured = [(i, r) for i, r in found if r.passed and r.values.get("torque_open") is not None]
    if not measured:
        raise InputError("no valve that passed has a torque to leave the seat; nothing to feed back")
    rows = measured_rows(measured, known)
    with_tested(known, rows, feed)
    told = [f"DN{r.dn:g} PN{r.pn:g} {r.disc_build}, {r.liner_grade}: {r.torque:.4g} N m, {r.text}" for r in rows]
    return [*told, f"maker's data with these as tested: {feed}"]


def _write(file: Path, content: bytes) -> None:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)
    except OSError as error:
        raise InputError(f"{file}: cannot be written ({error.strerror})") from None


def answers_of(words: Sequence[str]) -> dict[str, list[str]]:
    """``place=face when=years`` as answers; several to one question with commas.

    Raises
    ------
    InputError
        Where a word has no equals sign.
    """
    found: dict[str, list[str]] = {}
    for word in words:
        question, sign, given = word.partition("=")
        if not sign:
            raise InputError(f"answer {word!r}: wanted is question=answer; the questions are {', '.join(questions())}")
        found.setdefault(question, []).extend(given.split(","))
    return found


def question_list() -> str:
    """The six questions and their answers, as they are typed."""
    lines = []
    for name, answers in questions().items():
        lines.append(f"{answers['']}")
        lines += [f"  {name}={word:15} {means}" for word, means in answers.items() if word]
    return "\n".join(lines)


def trouble(
    answers: Answers, *, enquiry: Path | None = None, tag: str = "", maker: Path | None = None, out: Path | None = None, words: Any = None
) -> tuple[Cause, ...]:
    """Causes of a complaint in the order of fit; with ``out`` the site report, blank where nothing is answered."""
    item = _item(enquiry, tag, maker)
    causes = why(answers, item) if answers else ()
    if out:
        frame = Frame(enquiry.stem if enquiry else "site report", maker_words(load(maker)))
        _write(out, site_report_pdf(frame, report_content(answers, causes, item, words)))
    return causes


def trouble_words(causes: Sequence[Cause]) -> str:
    """The causes in words."""
    lines, asked = [], questions()
    for n, c in enumerate(causes, start=1):
        lines += [f"{n}. {c.failure} [{c.id}]", f"   look: {c.apart or c.check}", f"   cure: {c.cure}"]
        lines += [f"   against it: {'; '.join(asked[a][''] if a in asked else a for a in c.against)}"] if c.against else []
        lines += [f"   the offer warned: {', '.join(c.warned)}"] if c.warned else []
    return "\n".join([*lines, "Ranked by how well the answers fit; no probability. Make the line safe before the valve is touched."])


def watched(history: Path, *, enquiry: Path | None = None, tag: str = "", maker: Path | None = None) -> Watch:
    """What drifts in a log of strokes, with the limits of its own item where the enquiry is known."""
    item = _item(enquiry, tag, maker)
    try:
        text = history.read_text("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"history {history.name}: cannot be read ({error})") from None
    return watch(read_history(text, _shapes(item, load(maker))), limits_of(item) if item else None)


def _shapes(item: Item | None, maker: Maker) -> Callable[[np.ndarray], np.ndarray] | None:
    """The shapes of this valve's torque over the stroke at its closing difference, so that rim and bushes can be told apart."""
    difference = item.duty.get("shutoff") if item and item.choice else None
    if item is None or difference is None or difference.value is None:
        return None
    pressure = read_unit(f"{difference.value} {difference.unit}", "difference").value
    return lambda angles: shapes_of(item, maker, pressure, angles)


def watched_words(found: Watch) -> str:
    """What drifts, and what cannot be told, in words."""
    lines = [f"{found.strokes} strokes read"]
    lines += [d.text for d in found.drifts] or ["nothing drifts that these data can tell"]
    return "\n".join([*lines, *(f"silent: {s}" for s in found.silent)])


def replaced(words: Sequence[str], maker: Path | None = None) -> Replacement:
    """What fits in place of an old valve, from ``bolt_circle=295mm holes=8 ...``.

    Raises
    ------
    InputError
        Where a word has no equals sign or names no measure, or neither flange nor size can be known.
    """
    if stray := [w for w in words if "=" not in w]:
        raise InputError(f"measure {stray[0]!r}: wanted is name=value, such as bolt_circle=295mm holes=8 hole_diameter=22mm")
    return replacement(dict(w.split("=", 1) for w in words), load(maker))


def replaced_words(found: Replacement) -> str:
    """The replacement in words."""
    lines = [f"flange: {f['system']} {f['rating']} {f['size']}" for f in found.flanges]
    lines += [f"fits: {f.text}" for f in found.fits] or ["nothing of the maker's fits as it is"]
    return "\n".join([*lines, *(f"not: {w}" for w in found.why_not), *(f"ask: {a}" for a in found.ask)])


def life_words(file: Path) -> str:
    """Life of a liner, its spares and its time in store, from a TOML file with the tables compound, duty, spare, store.

    Raises
    ------
    InputError
        Where the file cannot be read, or a table lacks a key.
    """
    told = _toml(file)
    lines = []
    try:
        if "compound" in told:
            life = _life(told)
            lines.append(life.text)
            if "spare" in told:
                s = told["spare"]
                lines.append(spare(int(s["pieces"]), life, str(s["in_service"]), float(s["lead_time_days"]) * DAY, str(s["liner"])).text)
        if "store" in told:
            s = told["store"]
            lines.append(storage(str(s["liner"]), str(s["cured"]), str(s["on"]), bool(s.get("inspected", False))).text)
    except (KeyError, TypeError, ValueError) as error:
        raise InputError(f"{file.name}: {error} is missing or cannot be read; see the how-to page on the life of a liner") from None
    if not lines:
        raise InputError(f"{file.name}: wanted are the tables compound with duty, spare, store; found {', '.join(told) or 'none'}")
    return "\n".join(lines)


def _life(told: Mapping[str, Any]) -> Life:
    c = told["compound"]
    tests = tuple(float(t) + KELVIN for t in c["temperature_c"])
    compound = Compound(str(c["name"]), str(c["end_point"]), tests, tuple(float(t) * 3600 for t in c["hours"]))
    return liner_life(compound, [(float(d["temperature_c"]) + KELVIN, float(d["share"])) for d in told["duty"]])


def _toml(file: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(file.read_text("utf-8-sig"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise InputError(f"{file.name}: cannot be read as TOML ({error})") from None


def as_json(found: Any) -> str:
    """A result as JSON."""
    whole = [asdict(f) for f in found] if isinstance(found, tuple) else asdict(found)
    return json.dumps(whole, ensure_ascii=False, indent=1)
