"""What is wrong in a maker's package, and its files as cells with their row numbers."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from softseat.errors import UnknownName
from softseat.maker.package import factor, head, lines, number


@dataclass(frozen=True, slots=True)
class Fault:
    """One cell, heading or file that cannot stand: where, what is there, what is allowed."""

    file: str
    row: int | None  # as an editor counts the lines of the file; None where the whole file is meant
    column: str
    value: str
    allowed: str

    def __str__(self) -> str:
        place = self.file + (f", row {self.row}" if self.row else "") + (f", column {self.column!r}" if self.column else "")
        return f"{place}: {self.value!r} stands there; allowed: {self.allowed}"


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one line by column name, unit left off."""

    number: int
    cells: Mapping[str, str]
    units: Mapping[str, tuple[float, float]]  # slope and shift to SI by column name

    def __getitem__(self, column: str) -> str:
        return self.cells.get(column, "")

    def amount(self, column: str) -> float:
        """The cell as a number in SI; nan where it holds none."""
        slope, shift = self.units.get(column, (1.0, 0.0))
        try:
            return number(self[column]) * slope + shift
        except ValueError:
            return float("nan")

    def words(self, column: str) -> list[str]:
        """The members of a list separated by semicolons."""
        return [word for part in self[column].split(";") if (word := part.strip())]


@dataclass(frozen=True, slots=True)
class Filed:
    """One file of the package: its headings as typed and its rows as text."""

    file: str
    heads: tuple[str, ...]
    rows: tuple[Row, ...]
    ragged: tuple[tuple[int, int], ...] = ()  # rows with another number of cells than headings

    def fault(self, row: Row, column: str, allowed: str) -> Fault:
        """A fault at one cell, under the heading as it stands in the file."""
        heading = next((h for h in self.heads if head(h)[0] == column), column)
        return Fault(self.file, row.number, heading, row[column], allowed)

    def groups(self, *columns: str) -> Iterator[list[Row]]:
        """The rows that agree in these columns, in file order."""
        found: dict[tuple[str, ...], list[Row]] = {}
        for row in self.rows:
            found.setdefault(tuple(row[c] for c in columns), []).append(row)
        yield from found.values()


def filed(file: Path) -> Filed:
    """A file of the package as cells.

    Raises
    ------
    DataError
        Where the file is not there or is not CSV.
    """
    found = lines(file)
    heads = tuple(h.strip() for h in found[0][1]) if found else ()
    names = [head(h)[0] for h in heads]
    units = dict(_factors(heads))
    body = found[1:]
    rows = tuple(Row(n, dict(zip(names, (c.strip() for c in cells), strict=False)), units) for n, cells in body if len(cells) == len(heads))
    return Filed(file.name, heads, rows, tuple((n, len(cells)) for n, cells in body if len(cells) != len(heads)))


def _factors(heads: tuple[str, ...]) -> Iterator[tuple[str, tuple[float, float]]]:
    for name, unit in map(head, heads):
        try:
            yield name, factor(name, unit or "-")
        except UnknownName:  # told as a fault of the heading
            yield name, (1.0, 0.0)
