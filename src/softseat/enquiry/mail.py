"""An enquiry out of a mail or a text PDF: its tables, its sentences, what is said for all items, and what was not understood."""

import email
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from email import policy
from pathlib import Path

import numpy as np

from softseat.enquiry.grid import Grid
from softseat.enquiry.layout import blocks
from softseat.enquiry.pdftext import pdf_text
from softseat.enquiry.reader import enquiry_of, table_of  # one reading of tables for files and for mails
from softseat.enquiry.records import Enquiry
from softseat.enquiry.words import read_words
from softseat.errors import InputError
from softseat.media.names import find
from softseat.sheet import ASSUMED, GIVEN, MISSING, UNREADABLE, Origin, Sheet
from softseat.tables import read

SHARED = (
    "flow", "mass_flow", "p1", "p1_typed", "p_kind", "p2", "p_max", "p_min", "p_design", "t_normal", "t_max", "t_min", "density",
    "viscosity", "rating", "rating_system", "pn", "system", "body_style", "liner", "liner_typed", "liner_build", "disc", "body", "shaft",
    "operator", "fail", "duty", "approvals", "medium", "stroke_time", "shutoff", "drop", "cycles",
)  # fmt: skip
TAG = re.compile(
    r"^\s*(?:[-*•–]\s+|\(?\d{1,3}[.)]\s+)?(?:(?:tag|pos|item)\.?\s*)?([A-Z]{1,6}[-_ ]?\d{1,5}[A-Z]?(?:/[A-Z])*)\s*[:–]\s+(?=\S)"
)
BULLET = re.compile(r"^\s*(?:[-*•–]\s+|\(?\d{1,3}[.)]\s+)")
SENTENCE = re.compile(r"(?<=[a-z0-9)°C])[.;]\s+(?=[A-Z0-9])")
QUOTED = re.compile(r"^(?:>\s?)+")
SURE = 0.75  # share of the words that name a medium, from which it is taken for one
KNOWN = "known by its name"
STRAY = 3  # so many words left over, and the sentence is about something else


@dataclass(frozen=True, slots=True)
class _Said:
    """One sentence, where it begins, and what was read in it."""

    line: int
    text: str
    read: Enquiry


def read_mail(text: str, name: str = "mail") -> Enquiry:
    """The items of a mail.

    Parameters
    ----------
    text : str
        The mail as text; lines that quote an earlier one count too.
    name : str
        Under which its lines are named as origins.

    Returns
    -------
    Enquiry
        A row a line of a table and a sentence that names a size; what is said without a size holds for all items that say
        nothing of it. ``notes`` show each line that was not understood.

    Raises
    ------
    InputError
        Where neither a table of valves nor a sentence with a size is found.
    """
    lines = [QUOTED.sub("", line).rstrip() for line in text.splitlines()]
    end = _end(lines)
    notes = [f"{name}, line {end + 1}: the end of the mail, not read further"] if end < len(lines) else []
    found, used = _tables(lines[:end], name, notes)
    items, general = [], []
    for said in _said(lines[:end], used):
        if _is_item(said.read):
            items.append(said)
        elif _tells(said.read):
            general.append(said)
        elif not _polite(said.text):
            notes.append(f"{name}, line {said.line}: not understood: {said.text!r}")
    parts = [*found, *(_placed(said, name) for said in items)]
    if not parts:
        raise InputError(
            f"{name}: no table of valves and no sentence with a size found; wanted is one such as: 4 valves DN200 PN16 for sea water, 6 bar"
        )
    whole = _joined(parts)
    for said in general:
        whole = _for_all(whole, said, name)
        notes.append(f"{name}, line {said.line}: taken for all items that say nothing else: {said.text!r}")
    return replace(whole, notes=(*whole.notes, *notes))


def read_mail_file(path: Path) -> Enquiry:
    """The items of a mail in a file: text, .eml or a PDF with text.

    Raises
    ------
    InputError
        Where the file cannot be read or holds no item.
    """
    ending = path.suffix.lower()
    if ending == ".pdf":
        return read_mail("\n".join(pdf_text(path)), path.stem)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise InputError(f"{path.name} cannot be read ({error.strerror})") from None
    if ending != ".eml":
        return read_mail(data.decode("utf-8-sig", "replace"), path.stem)
    message = email.message_from_bytes(data, policy=policy.default)
    body = message.get_body(preferencelist=("plain",))
    if body is None:
        raise InputError(f"{path.name}: the mail holds no plain text; save it as text, or its table as a file")
    held = [part.get_filename() or "without a name" for part in message.iter_attachments()]
    read_ = read_mail(f"{message.get('subject', '')}\n\n{body.get_content()}", path.stem)
    return replace(read_, notes=(*read_.notes, *(f"{path.stem}: attachment {h!r} was not read" for h in held)))


def _words(kind: str) -> list[str]:
    return [row["text"] for row in read("mail_words") if row["kind"] == kind]


def _end(lines: Sequence[str]) -> int:
    """Where the greeting stands or the signature begins: beyond it no enquiry is looked for."""
    for n, line in enumerate(lines):
        word = line.strip().lower().rstrip(",.!")
        if line.rstrip() == "--" or word in _words("end"):
            return n
    return len(lines)


def _polite(text: str) -> bool:
    low = text.lower()
    return len(text.split()) < 2 or any(low.startswith(w) for w in _words("polite"))


def _tables(lines: Sequence[str], name: str, notes: list[str]) -> tuple[list[Enquiry], set[int]]:
    """Each run of lines that are parted alike and hold a heading row, as items; and the lines that it took."""
    found, used = [], set()
    for start, stop, sign in _runs(lines):
        cells = [_cells(line, sign) for line in lines[start:stop]]
        grid = Grid(name, [[]] * start + cells)
        tables = [t for block in blocks(grid) if (t := table_of(grid, block, {}, notes)).items]
        if tables:
            found.append(enquiry_of(tables, [], []))
            used |= set(range(start, stop))
    return found, used


def _cells(line: str, sign: str) -> list[str]:
    held = re.split(r"\s{2,}", line.strip()) if sign == " " else line.strip().strip("|").split(sign)
    rule = set(line.strip()) <= set("|+-= :")
    return [] if rule else [c.strip() for c in held]


def _runs(lines: Sequence[str]) -> Iterator[tuple[int, int, str]]:
    """Lines in a row that the same sign parts into three cells or more."""
    start = 0
    while start < len(lines):
        sign = next((s for s in ("|", "\t", ";", " ") if len(_cells(lines[start], s)) >= 3), "")
        stop = start
        while sign and stop < len(lines) and (len(_cells(lines[stop], sign)) >= 3 or (stop > start and not _cells(lines[stop], sign))):
            if not lines[stop].strip():
                break
            stop += 1
        if stop - start >= 2:
            yield start, stop, sign
        start = max(stop, start + 1)


def _said(lines: Sequence[str], used: set[int]) -> Iterator[_Said]:
    """Sentences outside the tables; a bullet or a tag begins one, a broken line goes on."""
    held: list[tuple[int, str]] = []
    for n, line in enumerate(lines):
        if n in used or not line.strip():
            held.append((n, ""))
        elif BULLET.match(line) or TAG.match(line) or not held or not held[-1][1] or held[-1][1].endswith(":"):
            held.append((n, line.strip()))
        elif re.match(r"\s*[a-z(]", line) or held[-1][1].endswith(",") or (line.startswith("  ") and BULLET.match(held[-1][1])):
            held[-1] = (held[-1][0], f"{held[-1][1]} {line.strip()}")
        else:
            held.append((n, line.strip()))
    for n, text in held:
        for part in SENTENCE.split(text):
            if re.search(r"\w", part):
                yield _Said(n + 1, part.strip(), _read(part))


def _read(text: str) -> Enquiry:
    """One sentence through the reading of words, with its tag, without what only makes it a sentence."""
    tag = TAG.match(text)
    rest = BULLET.sub("", text[tag.end() :] if tag else text)
    for filler in sorted(_words("filler"), key=len, reverse=True):
        rest = re.sub(rf"(?<![\w-]){re.escape(filler)}(?![\w-])(?!\s*\.?\s*\d)", " ", rest, flags=re.I)
    for pieces in _words("pieces"):
        rest = re.sub(rf"(?<![\w.,])(\d+)\s*{re.escape(pieces)}(?!\w)", r"\1 nos", rest, flags=re.I)
    found = read_words(rest if re.search(r"\w", rest) else text)
    found = replace(found, sheet=_known_medium(found.sheet))
    if tag is None:
        return found
    name = tag.group(1)
    sheet = found.sheet.filling("tag", np.array([True]), name, GIVEN)
    sheet = replace(sheet, origin={**sheet.origin, (0, "tag"): Origin("words", 1, "", name)})
    return replace(found, sheet=sheet, rows=(replace(found.rows[0], tag=name, tags=(name,)),))


def _known_medium(sheet: Sheet) -> Sheet:
    """What is left of a sentence is a medium only where the media know it; the rest is left as typed for the question."""
    said, approval = str(sheet["medium"][0]), str(sheet["approvals"][0])
    for part in (said, *re.split(r"[,:.]", said), approval):  # drinking water is a medium before it is an approval
        match = find(part.strip()) if part.strip() else None
        if match is not None and match.medium_id is not None and match.share >= SURE:
            return sheet.filling("medium", np.array([True]), part.strip(" .:,"), GIVEN, KNOWN)
    return sheet


def _has(read_: Enquiry, name: str) -> bool:
    return name in read_.sheet and read_.sheet.state[name][0] not in (MISSING, UNREADABLE, ASSUMED)


def _is_item(read_: Enquiry) -> bool:
    return bool(np.isfinite(read_.sheet["dn"][0]))


def _tells(read_: Enquiry) -> bool:
    """Whether a sentence without a size says something of the valves, and little else."""
    known_medium = read_.sheet.why.get((0, "medium")) == KNOWN
    left = [] if known_medium else str(read_.sheet["medium"][0]).split()
    return (any(_has(read_, n) for n in SHARED if n != "medium") or known_medium) and len(left) < STRAY


def _placed(said: _Said, name: str) -> Enquiry:
    """The item with its line as the origin of each value."""
    origin = {k: Origin(name, said.line, "", o.text) for k, o in said.read.sheet.origin.items()}
    row = replace(said.read.rows[0], sheet=name, row=said.line)
    return Enquiry(replace(said.read.sheet, origin=origin), (row,))


def _joined(parts: Sequence[Enquiry]) -> Enquiry:
    """Several readings as one, in the order of the lines."""
    sheets = [p.sheet for p in parts]
    names = sheets[0].values.keys()
    starts = np.cumsum([0, *(len(s) for s in sheets)])
    whole = Sheet(
        {n: np.concatenate([s[n] for s in sheets], axis=-1) for n in names},
        {n: np.concatenate([s.state[n] for s in sheets]) for n in names},
        {(i + int(at), n): o for s, at in zip(sheets, starts, strict=False) for (i, n), o in s.origin.items()},
        {(i + int(at), n): w for s, at in zip(sheets, starts, strict=False) for (i, n), w in s.why.items()},
    )
    rows = [row for p in parts for row in p.rows]
    order = np.array(sorted(range(len(rows)), key=lambda i: rows[i].row))
    numbered = tuple(replace(rows[i], n=n) for n, i in enumerate(order.tolist(), start=1))
    merged = [tuple(x for p in parts for x in getattr(p, field)) for field in ("unmapped", "skipped", "notes", "mapping")]
    return Enquiry(whole.take(order), numbered, *merged)


def _for_all(whole: Enquiry, said: _Said, name: str) -> Enquiry:
    """What a sentence says for all, in the items that say nothing of it."""
    sheet = whole.sheet
    sure = said.read.sheet.why.get((0, "medium")) == KNOWN
    for field in SHARED:
        state = int(said.read.sheet.state[field][0]) if field in said.read.sheet else MISSING
        if state in (MISSING, UNREADABLE) or (field == "medium" and not sure):
            continue
        empty = sheet.state[field] == MISSING
        if not empty.any():
            continue
        assumed = said.read.sheet.why.get((0, field), "") if state == ASSUMED else ""
        reason = "; ".join(r for r in (assumed, f"said for all in line {said.line}") if r)
        sheet = sheet.filling(field, empty, said.read.sheet[field][0], state, reason)
        told = said.read.sheet.origin.get((0, field))
        text = told.text if told else said.text
        sheet = replace(
            sheet, origin={**sheet.origin, **{(int(n), field): Origin(name, said.line, "", text) for n in np.flatnonzero(empty)}}
        )
    return replace(whole, sheet=sheet)
