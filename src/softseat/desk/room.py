"""What one running desk has: the store, the bench, the papers made, and whether it asks who is there."""

import shutil
from dataclasses import dataclass, field
from pathlib import Path

from softseat.desk import packing
from softseat.desk.bench import Bench, Progress, Work
from softseat.desk.clock import by
from softseat.desk.packing import Pack
from softseat.papers.order import Order
from softseat.papers.record import lines
from softseat.store import enquiries, revisions
from softseat.store.database import Database
from softseat.store.revisions import Issued

ALONE = "engineer at this machine"


@dataclass(slots=True)
class Room:
    """Shared by all who are at this desk."""

    db: Database
    bench: Bench
    login: bool = False  # people have to say who they are
    secure: bool = False  # reached over https
    packs: dict[int, Pack] = field(default_factory=dict)

    def papers(self, number: int, *, progress: Progress | None = None, **wanted: object) -> Pack:
        """Papers of the enquiry as it stands; those made before of it are dropped."""
        work = self.bench.work(number, progress)
        made = packing.make(work, self.bench.maker(), progress=progress, **wanted)  # type: ignore[arg-type]
        old = self.packs.pop(number, None)
        if old is not None:
            shutil.rmtree(old.folder.parent, ignore_errors=True)
        self.packs[number] = made
        return made

    def issue(self, number: int, who: str, text: str, order: Order | None = None, progress: Progress | None = None) -> Issued:
        """All papers, kept as the next revision."""
        work = self.bench.work(number, progress)
        made = self.papers(number, progress=progress, order=order)
        return revisions.issue(
            self.db, by(who), number, version=made.version, items="".join(lines(work.items)), pack=made.zipped(),
            maker=self.bench.maker().title, engine=_engine(), text=text,
        )  # fmt: skip

    def close(self) -> None:
        """Nothing but the store stays."""
        for made in self.packs.values():
            shutil.rmtree(made.folder.parent, ignore_errors=True)
        self.db.close()


def open_room(url: str, *, maker: Path | None = None, login: bool = False) -> Room:
    """A desk over this store."""
    db = Database(url)
    return Room(db, Bench(db, maker), login)


def _engine() -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return f"softseat {version('softseat')}"
    except PackageNotFoundError:
        return "softseat"


def etag(work: Work, n: int) -> str:
    """The version of the n-th row, for If-Match."""
    return f'"{work.versions[work.place(n)]}"'


def exists(room: Room, number: int) -> None:
    """Raises where there is no such enquiry."""
    enquiries.version_of(room.db, number)
