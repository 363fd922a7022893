"""The papers of an enquiry: made in a folder, handed out as files or as one zip."""

import io
import tempfile
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from softseat.desk.bench import Work
from softseat.desk.schedule import PHONE
from softseat.maker.package import Maker
from softseat.papers.order import Order
from softseat.papers.pack import WORKBOOKS, write_pack
from softseat.selection.weighed import maker_words

PACK = "pack.zip"
# a zip without clock: the same papers are the same bytes
EPOCH = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True)
class Pack:
    """Papers in a folder that lasts as long as the desk."""

    version: int
    folder: Path
    files: tuple[str, ...]

    def path(self, name: str) -> Path | None:
        """The file of this name; nothing outside of the folder is ever given out."""
        return self.folder / name if name in self.files else None

    def zipped(self) -> bytes:
        """All papers in one file."""
        return zipped({name: (self.folder / name).read_bytes() for name in self.files})


def zipped(files: Mapping[str, bytes]) -> bytes:
    """Files in one: the same files are the same bytes."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as book:
        for name, content in files.items():
            book.writestr(zipfile.ZipInfo(name, EPOCH), content, zipfile.ZIP_DEFLATED)
    return held.getvalue()


def make(
    work: Work,
    maker: Maker,
    *,
    papers: set[str] | None = None,
    page: str = "a4",
    order: Order | None = None,
    calculations: bool = False,
    progress: Callable[[str, int, int], None] | None = None,
) -> Pack:
    """Make the papers; the buyer's own workbook is filled in where nothing was added to it by phone."""
    folder = Path(tempfile.mkdtemp(prefix="softseat-papers-"))
    source = None
    ours = PHONE in [s["name"] for s in work.schedule.layout["sheets"]]
    if Path(work.source_name).suffix.lower() in WORKBOOKS and not ours:
        source = folder / f"source{Path(work.source_name).suffix.lower()}"
        source.write_bytes(work.source)
    out = folder / "pack"
    made = write_pack(
        work.items, out, name=work.name, maker=maker_words(maker), order=order, papers=papers, page=page, source=source,
        calculations=calculations, progress=progress,
    )  # fmt: skip
    return Pack(work.version, out, tuple(sorted(p.relative_to(out).as_posix() for p in made)))
