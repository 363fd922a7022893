"""The main job: an enquiry in, decided items and a pack out."""

import contextlib
import json
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

from softseat.enquiry.reader import Enquiry, read_enquiry
from softseat.errors import InputError, PaperError
from softseat.maker.package import Maker, load
from softseat.selection.decide import decide
from softseat.selection.explain import explain, explain_all
from softseat.selection.item import Item
from softseat.selection.merging import builds
from softseat.selection.overrule import Override, overrides, overrule
from softseat.selection.weighed import maker_words, with_effects

Progress = Callable[[str, int, int], None]
SHAPES = {"yes": "●", "if": "◐", "no": "✕", "ask": "?"}


@dataclass(frozen=True, slots=True)
class Offer:
    """What an enquiry came to."""

    name: str
    items: tuple[Item, ...]
    out: Path | None
    written: tuple[Path, ...]
    notes: tuple[str, ...]
    maker: str

    def json(self) -> str:
        return json.dumps([i.as_json() for i in self.items], ensure_ascii=False, indent=1)

    def summary(self) -> str:
        """The table that is printed: one line an item, the counts, where the pack lies."""
        width = max([len(i.tag) for i in self.items] + [3])
        width = min(width, 28)
        lines = [f"{'n':>4}  {'tag':{width}}  as asked  offered  build, or why not"]
        lines += [
            f"{i.n:>4}  {i.tag[:width]:{width}}  {SHAPES[i.as_asked]} {i.as_asked:6}  {SHAPES[i.offered]} {i.offered:5}  {_line(i)}"
            for i in self.items
        ]
        counts = Counter(i.offered for i in self.items)
        tags = sum(i.quantity for i in self.items if i.choice)
        lines.append(f"{len(self.items)} items offered: " + ", ".join(f"{counts[w]} {w}" for w in ("yes", "if", "ask", "no")))
        lines.append(f"{tags} pieces offered = {len(builds(self.items))} builds")
        lines += list(self.notes[:6])
        if self.out:
            lines.append(f"pack: {self.out} ({len(self.written)} files); maker's data: {self.maker}")
        return "\n".join(map(_shown, lines))


def _shown(line: str) -> str:
    """Without the signs that steer a terminal: a tag may be anything."""
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in line)


def _line(item: Item) -> str:
    text = item.sentence
    if item.choice and item.offered in ("yes", "if"):
        c = item.choice
        conditions = [f.rule for f in item.findings if f.severity == "condition" and f.applies_to != "asked"]
        text = f"{c['build']}" + (f"  [{' '.join(conditions[:5])}]" if conditions else "")
    return text if len(text) <= 100 else text[:99] + "…"


def offer_enquiry(
    enquiry: Path,
    *,
    out: Path | None = None,
    maker: Path | None = None,
    order: Path | None = None,
    columns: Path | None = None,
    papers: str = "all",
    page: str = "a4",
    calculations: bool = False,
    overruled: Path | None = None,
    name: str | None = None,
    progress: Progress | None = None,
) -> Offer:
    """Read an enquiry, decide every item, write the pack.

    Raises
    ------
    InputError
        Where the enquiry, the columns, the order or a name of a paper cannot be used.
    """
    from softseat.papers.order import read_order
    from softseat.papers.pack import PAPERS, write_pack

    wanted = _papers(papers, PAPERS)
    known = load(maker)
    told = read_order(order) if order else None
    read = taken_in(enquiry, _columns(columns))
    with_steps = calculations or "calculations" in wanted
    items = explained(read, known, steps_too=with_steps, progress=progress, told=_overrides(overruled))
    called = name or enquiry.stem
    folder = out or Path(f"{called}-pack")
    written = write_pack(
        items,
        folder,
        name=called,
        maker=maker_words(known),
        order=told,
        papers=wanted,
        page=page,
        source=enquiry,
        calculations=calculations,
        progress=progress,
    )
    return Offer(called, items, folder, tuple(written), _notes(read), known.title)


def filed_enquiry(enquiry: Path, *, out: Path | None = None, maker: Path | None = None, columns: Path | None = None) -> Path:
    """Verdicts, numbers and rules of very many items as one Parquet file, without sentences and papers: ``items.parquet`` in the pack.

    Raises
    ------
    InputError
        Where pyarrow is not installed, or the enquiry cannot be read.
    PaperError
        Where the file cannot be written; an earlier one is then as it was.
    """
    try:
        import pyarrow.parquet

        from softseat.selection.bulk import decided, filed
        from softseat.selection.parted import MANY
    except ImportError:
        raise InputError("format parquet needs pyarrow: install softseat[parquet]") from None
    read, known = taken_in(enquiry, _columns(columns)), load(maker)
    folder = out or Path(f"{enquiry.stem}-pack")
    file, half, writer = folder / "items.parquet", folder / ".items.parquet.part", None
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for part in decided(read.sheet, known, processors=2 if len(read.sheet) > MANY else 1):
            table = filed(part)
            writer = writer or pyarrow.parquet.ParquetWriter(half, table.schema)
            writer.write_table(table)
        if writer:
            writer.close()
            half.replace(file)
    except OSError as error:
        raise PaperError(f"{file}: cannot be written ({error.strerror or error}); nothing was changed there") from None
    finally:
        with contextlib.suppress(OSError):
            half.unlink()
    return file


def taken_in(path: Path, columns: dict[str, str] | None = None) -> Enquiry:
    """An enquiry from its file: a workbook or a table; a mail (.eml), a PDF with text, or a text without a table as a mail.

    Raises
    ------
    InputError
        Where neither a table of valves nor a sentence with a size is found.
    """
    from softseat.enquiry.mail import read_mail_file

    ending = path.suffix.lower()
    if ending in (".eml", ".pdf"):
        return read_mail_file(path)
    try:
        return read_enquiry(path, columns)
    except InputError as no_table:
        if ending not in (".txt", ".md") or not path.is_file():
            raise
        try:
            return read_mail_file(path)
        except InputError:
            raise no_table from None


def explained(
    read: Enquiry, known: Maker, *, steps_too: bool = False, progress: Progress | None = None, told: Sequence[Override] = ()
) -> tuple[Item, ...]:
    """Every item of an enquiry, decided and explained; ``told`` are stops that an engineer overrules."""
    decision = overrule(decide(read.sheet, known), told, [row.n for row in read.rows])
    total = len(read.sheet)
    items = []
    for item in explain_all(read, decision, known, steps_too=steps_too):
        items.append(item)
        if progress and (len(items) % 20 == 0 or len(items) == total):
            progress("items", len(items), total)
    return with_effects(read.sheet, decision, known, items)


def _notes(read: Enquiry) -> tuple[str, ...]:
    skipped = tuple(f"sheet {name!r} skipped: {why}" for name, why in read.skipped)
    return (*skipped, *read.notes)


def _papers(text: str, known: tuple[str, ...]) -> set[str]:
    if text == "all":
        return {p for p in known if p != "calculations"}
    if text == "none":
        return set()
    names = {p.strip() for p in text.split(",") if p.strip()}
    if unknown := sorted(names - set(known)):
        raise InputError(f"paper {unknown[0]!r} is not known; allowed are all, none, {', '.join(known)}")
    return names


def _columns(file: Path | None) -> dict[str, str] | None:
    if file is None:
        return None
    told = _toml(file)
    return {str(k): str(v) for k, v in told.get("columns", told).items()}


def _toml(file: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(file.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise InputError(f"{file}: cannot be read as TOML ({error})") from None


def _overrides(file: Path | None) -> tuple[Override, ...]:
    if file is None:
        return ()
    rows = _toml(file).get("override", [])
    return overrides(rows if isinstance(rows, list) else [rows])


def phone_item(words: str, maker: Path | None = None) -> Item:
    """One item from free words."""
    from softseat.enquiry.words import read_words

    known = load(maker)
    read = read_words(words)
    decision = decide(read.sheet, known)
    item = explain(read, decision, known, 0, _first(decision.asked.why), _first(decision.asked.origin), steps_too=False)
    return with_effects(read.sheet, decision, known, [item])[0]


def _first(sparse: Any) -> dict[str, Any]:
    return {name: value for (n, name), value in sparse.items() if n == 0}


@contextlib.contextmanager
def demo_enquiry() -> Iterator[Path]:
    """The shipped, invented enquiry."""
    with as_file(files("softseat") / "demo" / "waterworks.csv") as path:
        yield path


def compare_enquiries(a: Path, b: Path, out: Path | None = None) -> str:
    """What moved between two revisions of an enquiry, in words; with ``out`` as a workbook too."""
    from softseat.papers.compare import compare, comparison_workbook

    known = load()
    one, two = (explained(taken_in(p), known) for p in (a, b))
    found = compare(one, two)
    if out:
        out.mkdir(parents=True, exist_ok=True)
        comparison_workbook(found, out / "comparison.xlsx")
    return "\n".join(map(_shown, found.summary().split("\n")))
