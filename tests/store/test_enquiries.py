"""What two engineers do to one enquiry, what undo takes back, and what is never lost."""

import os
import signal
import subprocess
import sys
import textwrap
import threading

import pytest
from sqlalchemy import text

from softseat.errors import InputError, StoreError
from softseat.store import audit, customers, enquiries, overrides, revisions
from softseat.store.database import Database
from softseat.store.records import Conflict, Edit, NotKept

from .conftest import ANN, BEN

LAYOUT = {"sheets": [{"name": "A", "delimiter": ",", "merged": []}]}
READING = {"columns": {}, "units": {}}


def kept(db):
    rows = [(("A", n), ["Tag", "Size"] if n == 1 else [f"T-{n}", 80.5]) for n in range(1, 5)]
    return enquiries.add(db, ANN, name="one", source_name="a.csv", source=b"raw\0bytes", layout=LAYOUT, reading=READING, rows=rows)


def test_what_goes_in_comes_out(db):
    number = kept(db)
    found = enquiries.get(db, number)
    assert found.rows["A", 3] == ["T-3", 80.5]
    assert found.source == b"raw\0bytes"
    assert found.version == 1
    assert [b.name for b in enquiries.listed(db)] == ["one"]


def test_the_later_one_is_told_and_writes_nothing(db):
    number = kept(db)
    seen = enquiries.get(db, number).versions
    enquiries.change(db, ANN, number, [Edit("A", 2, 1, "DN100")], {("A", 2): seen["A", 2]})
    with pytest.raises(Conflict, match="changed by Ann"):
        enquiries.change(
            db, BEN, number, [Edit("A", 2, 1, "DN150"), Edit("A", 3, 1, "DN150")], {("A", 2): seen["A", 2], ("A", 3): seen["A", 3]}
        )
    now = enquiries.get(db, number)
    assert now.rows["A", 2] == ["T-2", "DN100"]
    assert now.rows["A", 3] == ["T-3", 80.5]
    enquiries.change(db, BEN, number, [Edit("A", 3, 1, "DN150")], {("A", 3): seen["A", 3]})


def test_many_at_once_lose_nothing(db):
    """Twelve writers, one cell each, all at once: every one is there afterwards, and the version counts them."""
    number = kept(db)
    failed = []

    def write(k):
        try:
            enquiries.change(db, BEN, number, [Edit("A", 2 + k % 3, 2 + k, f"x{k}")])
        except StoreError as error:
            failed.append(error)

    threads = [threading.Thread(target=write, args=(k,)) for k in range(12)]
    [t.start() for t in threads]
    [t.join() for t in threads]
    assert not failed
    found = enquiries.get(db, number)
    assert found.version == 13
    assert sorted(c for row in found.rows.values() for c in row[2:] if c) == sorted(f"x{k}" for k in range(12))


def test_undo_takes_back_ones_own_and_only_what_still_stands(db):
    number = kept(db)
    enquiries.change(db, ANN, number, [Edit("A", 2, 1, "DN100"), Edit("A", 3, 1, "DN100")])
    enquiries.change(db, BEN, number, [Edit("A", 4, 1, "DN999")])
    assert set(enquiries.undo(db, ANN, number)) == {("A", 2), ("A", 3)}
    found = enquiries.get(db, number)
    assert [found.rows["A", n][1] for n in (2, 3, 4)] == [80.5, 80.5, "DN999"]
    with pytest.raises(NotKept, match="nothing of yours"):
        enquiries.undo(db, ANN, number)
    enquiries.change(db, ANN, number, [Edit("A", 2, 1, "DN100")])
    enquiries.change(db, BEN, number, [Edit("A", 2, 1, "DN125")])
    with pytest.raises(Conflict, match="changed again"):
        enquiries.undo(db, ANN, number)
    assert enquiries.get(db, number).rows["A", 2][1] == "DN125"


def test_an_issued_revision_cannot_be_changed_even_by_hand(db):
    number = kept(db)
    revisions.issue(db, ANN, number, version=1, items="[]", pack=b"papers", maker="invented", engine="0", text="first")
    for act in ("UPDATE revisions SET note = 'other'", "DELETE FROM revisions", "UPDATE audit SET made_by = 'nobody'", "DELETE FROM audit"):
        with pytest.raises(StoreError, match="cannot be changed"), db.writing() as session:
            session.execute(text(act))
    assert revisions.pack(db, number, 1) == b"papers"
    assert revisions.listed(db, number)[0].note == "first"
    with pytest.raises(Conflict, match="stays"):
        enquiries.remove(db, ANN, number)


def test_papers_of_an_older_state_are_not_issued(db):
    number = kept(db)
    enquiries.change(db, BEN, number, [Edit("A", 2, 1, "DN100")])
    with pytest.raises(Conflict, match="nothing was issued"):
        revisions.issue(db, ANN, number, version=1, items="[]", pack=b"papers", maker="m", engine="0")
    assert not revisions.listed(db, number)


def test_overrides_need_name_and_reason_and_stay_readable(db):
    number = kept(db)
    with pytest.raises(InputError, match="reason"):
        overrides.override(db, ANN, number, ("A", 2), rule="R1", decision="as asked", reason="so")
    made = overrides.override(db, ANN, number, ("A", 2), rule="R1", decision="as asked", reason="proved over ten years")
    overrides.withdraw(db, BEN, number, made)
    found = overrides.overrides(db, number)
    assert found[0].who == "Ann"
    assert "Ben" in found[0].withdrawn
    assert enquiries.get(db, number).version == 3, "papers made before are out of date"


def test_a_customers_habits(db):
    customers.remember(db, ANN, "invented buyer", "columns", {"Line press": "p1", "Seat": "liner"})
    customers.remember(db, ANN, "invented buyer", "columns", {"Seat": ""})
    assert customers.remembered(db, "invented buyer")["columns"] == {"Line press": "p1"}
    assert customers.customers(db) == ["invented buyer"]


def test_who_did_what(db):
    number = kept(db)
    enquiries.change(db, BEN, number, [Edit("A", 2, 1, "DN100")])
    assert [(e.who, e.what) for e in audit.lines(db, number)] == [("Ben", "cells changed"), ("Ann", "taken in")]


def test_killed_while_saving_nothing_committed_is_lost(tmp_path):
    """A process that writes without pause is killed; what it had reported as written is there, and the file is sound."""
    file = tmp_path / "desk.db"
    db = Database(str(file))
    number = kept(db)
    db.close()
    writer = textwrap.dedent(f"""
        from softseat.store import enquiries
        from softseat.store.audit import By
        from softseat.store.database import Database
        from softseat.store.records import Edit
        db = Database({str(file)!r})
        for k in range(100000):
            enquiries.change(db, By("Ann", "2030"), {number}, [Edit("A", 2, 1, f"{{k}}"), Edit("A", 3, 1, f"{{k}}")])
            print(k, flush=True)
    """)
    process = subprocess.Popen(
        [sys.executable, "-c", writer],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)},
    )
    told = [process.stdout.readline() for _ in range(25)]
    process.send_signal(signal.SIGKILL)
    told += process.stdout.readlines()
    process.wait()
    process.stdout.close()
    last = int(told[-1])
    db = Database(str(file))
    found = enquiries.get(db, number)
    assert int(found.rows["A", 2][1]) >= last
    assert found.rows["A", 2][1] == found.rows["A", 3][1], "a batch is all or nothing"
    with db.reading() as session:
        assert session.scalar(text("PRAGMA integrity_check")) == "ok"
    db.close()


def test_the_layout_can_be_taken_back_and_laid_again(db):
    from importlib.resources import files

    from alembic import command
    from alembic.autogenerate import compare_metadata
    from alembic.config import Config
    from alembic.migration import MigrationContext

    from softseat.store.schema import Root

    with db.engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), Root.metadata) == []
    config = Config()
    config.set_main_option("script_location", str(files("softseat") / "store" / "migrations"))
    for step, act in (("base", command.downgrade), ("head", command.upgrade)):
        with db.writer.begin() as connection:
            config.attributes["connection"] = connection
            act(config, step)
    assert enquiries.listed(db) == []


@pytest.mark.parametrize("url", ["mysql://x/y", "oracle://x", "http://x"])
def test_other_stores_are_refused_with_what_is_allowed(url):
    with pytest.raises(InputError, match="postgresql"):
        Database(url)


def test_a_place_that_cannot_be_opened_says_so(tmp_path):
    (tmp_path / "desk.db").write_bytes(b"this is no database, whatever its name says" * 99)
    with pytest.raises(StoreError, match="cannot be opened"):
        Database(str(tmp_path / "desk.db"))
