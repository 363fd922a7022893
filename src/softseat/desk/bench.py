"""Where enquiries are worked: read, decided and explained, once a version; one item at once, the rest behind it."""

import threading
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

import numpy as np

from softseat.desk import schedule as schedules
from softseat.desk.byhand import overruled, with_overrides
from softseat.desk.moved import grouped, unmoved
from softseat.desk.schedule import Place, Reading, Schedule
from softseat.enquiry.reader import Enquiry
from softseat.enquiry.words import read_words
from softseat.errors import SoftseatError
from softseat.maker.package import Maker, load
from softseat.selection.decide import Decision, decide
from softseat.selection.explain import explain, explain_all
from softseat.selection.item import Item
from softseat.selection.weighed import with_effects
from softseat.store import enquiries, overrides
from softseat.store.database import Database
from softseat.store.records import Kept

Progress = Callable[[str, int, int], None]
T = TypeVar("T")
KEPT = 12  # enquiries held ready
STEP = 10  # items between two looks at whether the work is still wanted


class Cancelled(SoftseatError):
    """The person who asked for it no longer wants it."""


@dataclass(frozen=True, slots=True)
class Decided:
    """An enquiry as read and decided at one version, not yet explained."""

    kept: Kept
    schedule: Schedule
    read: Enquiry
    decision: Decision

    @property
    def version(self) -> int:
        return self.kept.version


@dataclass(frozen=True, slots=True)
class Work:
    """An enquiry as computed at one version."""

    decided: Decided
    items: tuple[Item, ...]
    bare: frozenset[int]  # places of items of which it is not yet weighed what an answer would change

    @property
    def version(self) -> int:
        return self.decided.kept.version

    @property
    def name(self) -> str:
        return self.decided.kept.name

    @property
    def customer(self) -> str:
        return self.decided.kept.customer

    @property
    def source_name(self) -> str:
        return self.decided.kept.source_name

    @property
    def source(self) -> bytes:
        return self.decided.kept.source

    @property
    def schedule(self) -> Schedule:
        return self.decided.schedule

    @property
    def read(self) -> Enquiry:
        return self.decided.read

    @property
    def versions(self) -> Mapping[Place, int]:
        return self.decided.kept.versions

    def place(self, n: int) -> Place:
        """Sheet and row of the n-th item, counted from 1."""
        ref = self.read.rows[n - 1]
        return ref.sheet, ref.row


class Bench:
    """Works enquiries of one store with one maker's data."""

    def __init__(self, db: Database, maker: Path | None = None) -> None:
        self.db, self.folder = db, maker
        self.done: dict[int, Work] = {}
        self.half: dict[int, Decided] = {}
        self.locks: dict[int, threading.Lock] = {}
        self.guard = threading.Lock()

    def maker(self) -> Maker:
        return load(self.folder)

    def decided(self, number: int, progress: Progress | None = None) -> Decided:
        """Read and decided as it stands now."""
        with self._alone(number):
            return self._decided(number, progress)

    def explained(self, number: int, progress: Progress | None = None) -> Work:
        """Every item explained; what an answer would change is not yet weighed."""
        with self._alone(number):
            return self._explained(number, progress)

    def work(self, number: int, progress: Progress | None = None) -> Work:
        """The enquiry as it stands now, whole; computed only where something has changed."""
        with self._alone(number):
            made = self._explained(number, progress)
            if made.bare:
                if progress:
                    progress("weighing the answers", 0, 1)
                items = with_effects(made.read.sheet, made.decided.decision, self.maker(), made.items, made.bare)
                made = Work(made.decided, items, frozenset())
                self._keep(self.done, number, made)
            return made

    def _alone(self, number: int) -> threading.Lock:
        with self.guard:
            return self.locks.setdefault(number, threading.Lock())

    def _keep(self, where: dict[int, T], number: int, made: T) -> None:
        with self.guard:
            where.pop(number, None)
            where[number] = made
            while len(where) > KEPT:
                where.pop(next(iter(where)))

    def _decided(self, number: int, progress: Progress | None) -> Decided:
        held = self.half.get(number)
        if held is not None and held.version == enquiries.version_of(self.db, number):
            return held
        kept = enquiries.get(self.db, number)
        schedule = Schedule(kept.name, kept.layout, kept.rows, Reading(**kept.reading))
        if progress:
            progress("reading", 0, 1)
        read = schedules.read(schedule)
        if progress:
            progress("deciding", 0, len(read.rows))
        made = Decided(kept, schedule, read, overruled(decide(read.sheet, self.maker()), read, overrides.overrides(self.db, number)))
        self._keep(self.half, number, made)
        return made

    def read_at(self, number: int, version: int) -> Enquiry | None:
        """What was read of this version, if it is at hand."""
        held = self.half.get(number)
        return held.read if held is not None and held.version == version else None

    def _explained(self, number: int, progress: Progress | None) -> Work:
        held = self.done.get(number)
        if held is not None and held.version == enquiries.version_of(self.db, number):
            return held
        decided = self._decided(number, progress)
        made = self._items(number, decided, held, progress)
        self._keep(self.done, number, made)
        return made

    def _items(self, number: int, now: Decided, held: Work | None, progress: Progress | None) -> Work:
        """Every item in file order; one of which nothing has moved is taken as it was."""
        maker, standing, total = self.maker(), overrides.overrides(self.db, number), len(now.read.rows)
        same = unmoved(held.decided, now) if held is not None else np.zeros(total, bool)
        by_hand = {o.place for o in standing}
        why, cells = grouped(now.decision)
        items: list[Item] = []
        bare: set[int] = set()
        for n, ref in enumerate(now.read.rows):
            if held is not None and same[n] and (ref.sheet, ref.row) not in by_hand:
                items.append(held.items[n])
                bare |= held.bare & {n}
            else:
                items.append(with_overrides(explain(now.read, now.decision, maker, n, why[n], cells[n], steps_too=False), standing))
                bare.add(n)
            if progress and (len(items) % STEP == 0 or len(items) == total):
                progress("explaining", len(items), total)
        return Work(now, tuple(items), frozenset(bare))

    def quick(self, number: int, places: Iterable[Place]) -> dict[Place, Item]:
        """These rows only, at once: what other rows would add (a medium that all carry, a tag twice) comes with the whole."""
        kept = enquiries.get(self.db, number)
        done = self.done.get(number)
        before = done.decided if done is not None else self.half.get(number)
        wanted = frozenset(places)
        others = {(r.sheet, r.row) for r in before.read.rows} if before is not None else set()
        schedule = Schedule(kept.name, kept.layout, kept.rows, Reading(**kept.reading))
        read = schedules.read(schedule, frozenset(kept.rows) - others | wanted)
        decision = overruled(decide(read.sheet, self.maker()), read, overrides.overrides(self.db, number))
        items = self._items(number, Decided(kept, schedule, read, decision), None, None).items
        return {(r.sheet, r.row): i for r, i in zip(read.rows, items, strict=True) if (r.sheet, r.row) in wanted}

    def phone(self, words: str) -> tuple[Enquiry, Item]:
        """One item from free words."""
        read, maker = read_words(words), self.maker()
        return read, next(iter(explain_all(read, decide(read.sheet, maker), maker)))

    def traced(self, number: int, n: int) -> Item:
        """The n-th item with every step of its calculation."""
        work = self.explained(number)
        why, cells = grouped(work.decided.decision)
        item = explain(work.read, work.decided.decision, self.maker(), n - 1, why[n - 1], cells[n - 1])
        known = work.items[n - 1]
        return replace(with_overrides(item, overrides.overrides(self.db, number)), questions=known.questions, flips=known.flips)
