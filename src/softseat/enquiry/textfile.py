"""Text tables: which encoding, which delimiter, and the rows as typed."""

import csv
import io
import re
from collections import Counter
from pathlib import Path
from typing import Literal

from softseat.enquiry.grid import MOST_CELLS, Grid
from softseat.enquiry.headings import heading
from softseat.errors import InputError

_DELIMITERS = (";", "\t", ",", "|")
_LINES_TRIED = 200
_BOMS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))


def read_text(path: Path) -> Grid:
    """A delimited text file as one grid.

    Raises
    ------
    InputError
        Where it is no text, has one column only, or is too large.
    """
    text = _decoded(path)
    told = re.match(r"\s*sep=(.)\r?\n", text)
    text = text[told.end() :] if told else text
    skipped = 1 if told else 0
    delimiter = told.group(1) if told else _delimiter(text)
    rows = _rows(_ditto_quoted(text, delimiter), delimiter, path)
    if sum(map(len, rows)) > MOST_CELLS:
        raise InputError(f"{path.name}: more than {MOST_CELLS:,} cells; split the enquiry")
    if max((len(r) for r in rows), default=0) < 2:
        raise InputError(
            f"{path.name}: one column only; a valve schedule has a heading row and columns parted by comma, semicolon, tab or |"
        )
    return Grid(path.stem, [[]] * skipped + rows, delimiter=delimiter)


def _decoded(path: Path) -> str:
    data = path.read_bytes()
    for mark, encoding in _BOMS:
        if data.startswith(mark):
            return _or_refused(data, encoding, path)
    if b"\0" in data[:4096]:
        half = data[:4096]
        encoding = "utf-16-le" if half[1::2].count(0) > len(half) / 4 else "utf-16-be" if half[0::2].count(0) > len(half) / 4 else ""
        if not encoding:
            raise InputError(f"{path.name} is neither a workbook nor a text table; allowed are .xlsx, .xls, .ods, .csv, .tsv")
        return _or_refused(data, encoding, path)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return _or_refused(data, "cp1252", path)


def _or_refused(data: bytes, encoding: str, path: Path) -> str:
    """Decoded text; pictures and programs are found by their control characters."""
    text = data.decode(encoding, "replace")
    start = text[:4096]
    odd = sum(c < " " and c not in "\t\r\n\f" for c in start) + start.count("\ufffd")
    if odd > len(start) / 50:
        raise InputError(f"{path.name} is neither a workbook nor a text table; allowed are .xlsx, .xls, .ods, .csv, .tsv")
    return text


def _delimiter(text: str) -> str:
    """The sign that parts most known headings in one line, else the one that parts the lines most evenly."""
    lines = text.split("\n", _LINES_TRIED)[:_LINES_TRIED]

    def merit(sign: str) -> tuple[int, float]:
        rows = [line.rstrip("\r").split(sign) for line in lines if line.strip()]
        known = max((sum(bool(heading(c.strip(' "')).candidates) for c in r) for r in rows if len(r) > 1), default=0)
        counts = Counter(len(r) for r in rows if len(r) > 1)
        return known, counts.most_common(1)[0][1] / len(rows) if counts else 0.0

    return max(_DELIMITERS, key=merit)


def _ditto_quoted(text: str, delimiter: str) -> str:
    """A lone quotation mark between two delimiters means ditto, not the begin of a quoted cell."""
    sign = re.escape(delimiter)
    return re.sub(rf'(?<={sign})(\s*)"(\s*)(?={sign}|\r?\n|$)', r'\1""""\2', text)


def _rows(text: str, delimiter: str, path: Path) -> list[list[str]]:
    """Rows by the reading that gives the more even table: with quotation marks as quotes, or as inch marks."""
    quoted = _parsed(text, delimiter, csv.QUOTE_MINIMAL, path)
    lines = text.count("\n") + (not text.endswith("\n"))
    if len(quoted) >= lines:
        return quoted
    plain = _parsed(text.replace('""""', '"'), delimiter, csv.QUOTE_NONE, path)
    return plain if _evenness(plain) > _evenness(quoted) + 0.02 else quoted


def _parsed(text: str, delimiter: str, quoting: Literal[0, 3], path: Path) -> list[list[str]]:
    try:
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, quoting=quoting))
    except csv.Error as error:
        raise InputError(f"{path.name} cannot be read as a table: {error}") from None


def _evenness(rows: list[list[str]]) -> float:
    counts = Counter(len(r) for r in rows if any(r))
    return counts.most_common(1)[0][1] / max(1, sum(counts.values())) if counts else 0.0
