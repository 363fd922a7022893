"""The customer's own workbook with our answers at the right of his rows.

Only the sheets that hold items are touched, and there only cells that were empty: everything else of the file, pictures, charts,
formulas, fonts and widths among it, is copied byte by byte. A library that reads and writes the whole workbook again would lose some.
"""

import re
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from posixpath import join, normpath
from xml.etree import ElementTree

from softseat.errors import InputError, PaperError
from softseat.papers.returned_sheet import answered, rows_of
from softseat.papers.texts import clean, text
from softseat.papers.workbook_rows import reason
from softseat.selection.item import Item

HEADINGS = ("Offer: verdict", "Offer: build", "Offer: reason", "Offer: question")
WIDTHS = (16.0, 24.0, 52.0, 52.0)
BOOKS = (".xlsx", ".xlsm")
LONGEST = 32000  # a cell holds 32 767 characters
LIMIT = 200_000_000  # of one part, unpacked: a sheet of a schedule is far smaller
RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
STRICT = "{http://purl.oclc.org/ooxml/officeDocument/relationships}id"


def returned_workbook(source: Path, items: Sequence[Item], path: Path) -> None:
    """Copy the enquiry to ``path`` with verdict, build, reason and question beside every item.

    Raises
    ------
    InputError
        Where the source is not a workbook of the kind that can be filled in place.
    PaperError
        Where a sheet of an item is not in it, or the copy cannot be written.
    """
    if Path(source).suffix.lower() not in BOOKS:
        raise InputError(f"{source}: only {' and '.join(BOOKS)} can be returned filled in")
    try:
        with zipfile.ZipFile(source) as book:
            changed = _changed(book, items)
            _copy(book, changed, Path(path))
    except (zipfile.BadZipFile, KeyError, ElementTree.ParseError, UnicodeDecodeError) as error:
        raise InputError(f"{source}: is not a workbook that can be filled in ({error})") from error
    except OSError as error:
        raise PaperError(f"{path}: the returned workbook could not be written ({error.strerror or error})") from error


def answers(item: Item) -> tuple[str, ...]:
    """What stands beside an item: verdict, build, reason, questions with the gravest first."""
    asked, offered = (text(f"verdict.{v}") if v in ("yes", "if", "no", "ask") else v for v in (item.as_asked, item.offered))
    verdict = offered if asked == offered else f"as asked: {asked}; as offered: {offered}"
    build = str((item.choice or {}).get("build") or "")
    questions = sorted(item.questions, key=lambda q: -(q.effect or 0.0))
    return tuple(clean(t)[:LONGEST] for t in (verdict, build, reason(item), " ".join(q.text for q in questions)))


def _changed(book: zipfile.ZipFile, items: Sequence[Item]) -> dict[str, bytes]:
    """The parts of the package that differ: the sheets of items, and the styles with one more."""
    if not items:
        return {}
    places = _sheets(book)
    styles = _part(book, "xl/styles.xml") if "xl/styles.xml" in book.namelist() else ""
    styles, wrapped = _with_wrap(styles)
    changed = {"xl/styles.xml": styles.encode()} if wrapped else {}
    for name, rows in _by_sheet(items).items():
        if name not in places:
            raise PaperError(f"returned workbook: there is no sheet {name!r}; there are {', '.join(places)}")
        sheet = _part(book, places[name])
        if lost := sorted(set(rows) - rows_of(sheet)):
            raise PaperError(f"returned workbook: sheet {name!r} has no row {lost[0]}, where an item was read")
        changed[places[name]] = answered(sheet, HEADINGS, rows, WIDTHS, wrapped).encode()
    return changed


def _by_sheet(items: Iterable[Item]) -> dict[str, dict[int, tuple[str, ...]]]:
    """Answers by sheet and row; items that share a row stand one under the other."""
    found: dict[str, dict[int, tuple[str, ...]]] = {}
    for item in items:
        rows, said = found.setdefault(item.sheet, {}), answers(item)
        before = rows.get(item.row)
        rows[item.row] = tuple("\n".join(filter(None, pair)) for pair in zip(before, said, strict=True)) if before else said
    return found


def _sheets(book: zipfile.ZipFile) -> dict[str, str]:
    """Sheet names with the part that holds each."""
    targets = {r.get("Id"): r.get("Target", "") for r in ElementTree.fromstring(_part(book, "xl/_rels/workbook.xml.rels"))}
    found = {}
    for sheet in ElementTree.fromstring(_part(book, "xl/workbook.xml")).iter():
        if sheet.tag.endswith("}sheet"):
            target = targets.get(sheet.get(RELATION) or sheet.get(STRICT), "")
            found[sheet.get("name", "")] = target.lstrip("/") if target.startswith("/") else normpath(join("xl", target))
    return found


def _part(book: zipfile.ZipFile, name: str) -> str:
    if book.getinfo(name).file_size > LIMIT:
        raise InputError(f"{book.filename}: {name} is larger than {LIMIT // 1_000_000} MB unpacked")
    return book.read(name).decode("utf-8-sig")


def _with_wrap(styles: str) -> tuple[str, int]:
    """The styles with one more, text wrapped at the top of the cell, and its number; 0 where it cannot be added."""
    found = re.search(r"<(\w+:)?cellXfs\b[^>]*>(.*?)</(?:\w+:)?cellXfs>", styles, re.S)
    if not found:
        return styles, 0
    prefix, inside = found[1] or "", found[2]
    number = len(re.findall(rf"<{prefix}xf\b", inside))
    xf = (
        f'<{prefix}xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0" applyAlignment="1">'
        f'<{prefix}alignment vertical="top" wrapText="1"/></{prefix}xf>'
    )
    whole = f'<{prefix}cellXfs count="{number + 1}">{inside}{xf}</{prefix}cellXfs>'
    return styles[: found.start()] + whole + styles[found.end() :], number


def _copy(book: zipfile.ZipFile, changed: Mapping[str, bytes], path: Path) -> None:
    """The package member by member, dates and order as they were."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as copy:
        for member in book.infolist():
            kept = zipfile.ZipInfo(member.filename, member.date_time)
            kept.compress_type, kept.external_attr = zipfile.ZIP_DEFLATED, member.external_attr
            kept.create_system = member.create_system
            ours = changed.get(member.filename)
            copy.writestr(kept, book.read(member.filename) if ours is None else ours)
