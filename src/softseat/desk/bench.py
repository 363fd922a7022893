"""Where enquiries are worked: read, decided and explained, once a version; one item at once, the rest behind it."""

import dataclasses
import threading
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from softseat.desk import schedule as schedules
from softseat.desk.schedule import Place, Reading, Schedule
from softseat.enquiry.reader import Enquiry
from softseat.enquiry.words import read_words
from softseat.errors import SoftseatError
from softseat.maker.package import Maker, load
from softseat.selection.decide import Decision, decide
from softseat.selection.explain import explain, explain_all
from softseat.selection.item import Finding, Item
from softseat.store import enquiries, overrides
from softseat.store.database import Database
from softseat.store.overrides import Overridden

Progress = Callable[[str, int, int], None]
KEPT = 12  # enquiries held ready
STEP = 10  # items between two looks at whether the work is still wanted


class Cancelled(SoftseatError):
    """The person who asked for it no longer wants it."""


@dataclass(frozen=True, slots=True)
class Work:
    """An enquiry as computed at one version."""

    version: int
    name: str
    customer: str
    schedule: Schedule
    read: Enquiry
    decision: Decision
    items: tuple[Item, ...]
    source_name: str
    source: bytes
    versions: dict[Place, int]

    def place(self, n: int) -> Place:
        """Sheet and row of the n-th item, counted from 1."""
        ref = self.read.rows[n - 1]
        return ref.sheet, ref.row


class Bench:
    """Works enquiries of one store with one maker's data."""

    def __init__(self, db: Database, maker: Path | None = None) -> None:
        self.db, self.folder = db, maker
        self.pool = ThreadPoolExecutor(2, "bench")
        self.done: dict[int, Work] = {}
        self.locks: dict[int, threading.Lock] = {}
        self.guard = threading.Lock()

    def maker(self) -> Maker:
        return load(self.folder)

    def work(self, number: int, progress: Progress | None = None) -> Work:
        """The enquiry as it stands now; computed only where it has changed."""
        with self.guard:
            lock = self.locks.setdefault(number, threading.Lock())
        with lock:
            held = self.done.get(number)
            if held is not None and held.version == enquiries.version_of(self.db, number):
                return held
            made = self._worked(number, progress)
            with self.guard:
                self.done.pop(number, None)
                self.done[number] = made
                while len(self.done) > KEPT:
                    self.done.pop(next(iter(self.done)))
            return made

    def _worked(self, number: int, progress: Progress | None) -> Work:
        kept = enquiries.get(self.db, number)
        schedule = Schedule(kept.name, kept.layout, kept.rows, Reading(**kept.reading))
        if progress:
            progress("reading", 0, 1)
        read = schedules.read(schedule)
        standing = overrides.overrides(self.db, number)
        decision, items = self._explained(read, standing, progress)
        return Work(
            kept.version,
            kept.name,
            kept.customer,
            schedule,
            read,
            decision,
            tuple(items),
            kept.source_name,
            kept.source,
            dict(kept.versions),
        )

    def _explained(self, read: Enquiry, standing: Iterable[Overridden], progress: Progress | None) -> tuple[Decision, list[Item]]:
        maker, total = self.maker(), len(read.rows)
        if progress:
            progress("deciding", 0, total)
        decision = decide(read.sheet, maker)
        items = []
        for item in explain_all(read, decision, maker):
            items.append(with_overrides(item, standing))
            if progress and (len(items) % STEP == 0 or len(items) == total):
                progress("explaining", len(items), total)
        return decision, items

    def quick(self, number: int, places: Iterable[Place]) -> dict[Place, Item]:
        """These rows only, at once: what other rows would add (a medium that all carry, a tag twice) comes with the whole."""
        kept = enquiries.get(self.db, number)
        before = self.done.get(number)
        wanted = frozenset(places)
        others = {(r.sheet, r.row) for r in before.read.rows} if before else set()
        schedule = Schedule(kept.name, kept.layout, kept.rows, Reading(**kept.reading))
        read = schedules.read(schedule, frozenset(kept.rows) - others | wanted)
        _, items = self._explained(read, overrides.overrides(self.db, number), None)
        return {(r.sheet, r.row): i for r, i in zip(read.rows, items, strict=True) if (r.sheet, r.row) in wanted}

    def phone(self, words: str) -> tuple[Enquiry, Item]:
        """One item from free words."""
        read, maker = read_words(words), self.maker()
        return read, next(iter(explain_all(read, decide(read.sheet, maker), maker)))

    def traced(self, number: int, n: int) -> Item:
        """The n-th item with every step of its calculation."""
        work, maker = self.work(number), self.maker()
        decision = work.decision
        why = {name: reason for (i, name), reason in decision.asked.why.items() if i == n - 1}
        cells = {name: cell for (i, name), cell in decision.asked.origin.items() if i == n - 1}
        item = explain(work.read, decision, maker, n - 1, why, cells)
        return with_overrides(item, overrides.overrides(self.db, number))

    def close(self) -> None:
        self.pool.shutdown(wait=False, cancel_futures=True)


def with_overrides(item: Item, standing: Iterable[Overridden]) -> Item:
    """The item with what persons decided about it, as findings that every paper prints; the verdict stays the engine's."""
    own = [o for o in standing if o.place == (item.sheet, item.row) and not o.withdrawn]
    if not own:
        return item
    findings = [
        Finding(
            rule="by hand",
            severity="condition",
            applies_to="offered",
            text=f"Decided by {o.who} against {o.rule or 'the verdict'}: {o.decision}",
            source=f"decision of {o.who}, {o.when[:10]}",
            remedy=f"Reason given: {o.reason}",
            reason=o.reason,
        )
        for o in own
    ]
    last = own[-1]
    sentence = f"{item.sentence.rstrip('.')}. Decided by hand by {last.who}, {last.when[:10]}: {last.decision}"
    return dataclasses.replace(item, findings=(*findings, *item.findings), sentence=sentence)
