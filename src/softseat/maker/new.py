"""An empty package for a maker to fill: schema, headings, and in each file one example row as a remark."""

import csv
import io
import json
from collections.abc import Sequence
from pathlib import Path

from softseat.errors import InputError
from softseat.maker.package import DESCRIPTOR, SHIPPED, descriptor, lines

TITLE = "Maker's data, to be filled"
TOLD = (
    "Fill each file; its first line tells what stands in a column and in which unit, the schema below says more. "
    "The line that begins with # is an invented example and is not read. Each row says whether its figures are tested or calculated."
)


def new(folder: Path) -> list[Path]:
    """Write an empty package and return its files.

    Raises
    ------
    InputError
        Where the folder already holds one of the files: nothing is written then.
    """
    folder = Path(folder)
    told = descriptor(SHIPPED)
    texts = {r["path"]: _empty(SHIPPED / r["path"]) for r in told["resources"]}
    told |= {"name": _slug(folder), "title": TITLE, "description": TOLD}
    texts[DESCRIPTOR] = json.dumps(told, indent=1, ensure_ascii=False) + "\n"
    there = [name for name in texts if (folder / name).exists()]
    if there or folder.is_file():
        raise InputError(f"{folder} already holds {there[0] if there else 'a file of that name'}; allowed: a folder without a package")
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8", newline="")
    return [folder / name for name in texts]


def _empty(file: Path) -> str:
    """Headings and one example row of a shipped file, the row as a remark."""
    (_, heads), *body = lines(file)
    example = body[len(body) // 2][1]
    return _line(heads) + _line([f"# {example[0]}", *example[1:]])


def _line(cells: Sequence[str]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue()


def _slug(folder: Path) -> str:
    """Name of the package after its folder, in the letters that a data package allows."""
    name = "".join(c if c.isascii() and (c.isalnum() or c in "-_.") else "-" for c in folder.resolve().name.lower()).strip("-")
    return name or "maker"
