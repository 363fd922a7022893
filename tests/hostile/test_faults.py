"""What the machine may do to us: killed, disk full, a clock that jumps, two at one store. Nothing half stays in place."""

import shutil
import signal
import subprocess
import sys
import time

import pytest
from tests.hostile.shell import softseat, start

from softseat.job import offer_enquiry
from softseat.store.database import Database
from softseat.store.enquiries import listed

SCHEDULE = """Tag;Size;Medium;Rating;P1 bar g;T max C;Flow m3/h;Operator
V-1;DN80;water;PN16;4;20;50;lever
V-2;DN300;sea water;PN10;6;30;760;gear
V-3;DN150;steam;PN16;4;160;;lever
"""


def inside(folder):
    """Every file below a folder with what is in it."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.fixture(scope="module")
def finished(tmp_path_factory):
    """An enquiry with its finished pack beside it."""
    folder = tmp_path_factory.mktemp("finished")
    (folder / "a.csv").write_text(SCHEDULE)
    ran = softseat("offer", "a.csv", "--out", "pack", folder=folder)
    assert ran.code == 0, ran.told
    return folder


def half(folder):
    """Folders in which papers are being made."""
    return [p for p in folder.iterdir() if p.name.startswith(".pack-")]


@pytest.mark.parametrize("files", [1])
def test_killed_while_papers_are_made(finished, tmp_path, files):
    """kill -9 once so many papers are made: the earlier pack is as it was, and no pack is in place where none was."""
    for earlier in (True, False):
        folder = tmp_path / str(earlier)
        folder.mkdir()
        shutil.copy(finished / "a.csv", folder)
        if earlier:
            shutil.copytree(finished / "pack", folder / "pack")
        process = start(("offer", "a.csv", "--out", "pack"), folder)
        while process.poll() is None and not any(len(inside(p)) > files for p in half(folder)):
            time.sleep(0.002)
        process.send_signal(signal.SIGKILL)
        assert process.wait() == -signal.SIGKILL
        assert len(half(folder)) == 1  # it was at work
        assert inside(folder / "pack") == (inside(finished / "pack") if earlier else {})
        assert softseat("offer", "a.csv", "--out", "pack", "--papers", "none", folder=folder).code == 0  # what was left is not in the way


@pytest.mark.parametrize("most", [1, 2_000, 20_000])
@pytest.mark.parametrize("form", ["table", "parquet"])
def test_a_disk_that_is_full(finished, tmp_path, most, form):
    """No file can grow beyond so many bytes: one sentence, the earlier pack as it was, nothing half beside it."""
    shutil.copytree(finished, tmp_path / "w")
    folder, before = tmp_path / "w", inside(finished)
    ran = softseat("offer", "a.csv", "--out", "pack", "--format", form, folder=folder, most_bytes=most)
    assert ran.code == 2, ran
    assert inside(folder) == before
    assert ran.told.startswith("softseat: ")
    assert ran.told.count("\n") == 1


@pytest.mark.parametrize("command", [("fields",), ("--help",), ("item", "water", "dn80")])
def test_the_screen_goes_away(finished, command):
    """What is printed has nowhere to go, at once or when the last of it is written: one sentence, not our insides."""
    with open("/dev/full", "w") as full, start(command, finished, stdout=full, stderr=-1) as process:
        told = process.stderr.read()
    assert process.returncode == 2
    assert told == "softseat: what was printed: No space left on device; nothing more was written\n"


def test_the_reader_has_seen_enough(finished):
    """A pipe that is shut after the first line: silence."""
    with start(("fields",), finished, stdout=-1, stderr=-1) as process:
        process.stdout.close()
        assert process.stderr.read() == ""
    assert process.returncode in (0, 1)


@pytest.mark.parametrize("clock", [0.0, 2.0e9, 4.0e9])
def test_a_clock_that_jumps(finished, tmp_path, monkeypatch, clock):
    """1970 and 2096: a pack tells nothing of the clock, so that it is the same to the last byte."""
    monkeypatch.setattr(time, "time", lambda: clock)
    offer_enquiry(finished / "a.csv", out=tmp_path / "pack", name="a", papers="workbook,drawings,questions")
    found, before = inside(tmp_path / "pack"), inside(finished / "pack")
    assert {"items.json", "offer.xlsx", "questions.pdf"} <= set(found)
    assert [name for name, data in found.items() if data != before[name]] == []


STORING = """
import resource, sys
from softseat.errors import StoreError
from softseat.store.audit import By
from softseat.store.database import Database
from softseat.store.enquiries import add

if sys.argv[4:]:
    resource.setrlimit(resource.RLIMIT_FSIZE, 2 * (int(sys.argv[4]),))
db, who = Database(sys.argv[1]), sys.argv[2]
for n in range(int(sys.argv[3])):
    try:
        add(db, By(who, "2030-01-02T10:00:00+00:00"), name=f"{who}{n}", source_name="a.csv", source=b"x" * 20_000, layout={}, reading={},
            rows=[(("Valves", 2), ["V-1", "DN80"])])
    except StoreError as error:
        print("refused", str(error), flush=True)
        break
    print("kept", flush=True)
"""


def storing(file, who, times, *most_bytes):
    words = [sys.executable, "-c", STORING, f"sqlite:///{file}", who, times, *most_bytes]
    return subprocess.Popen([*map(str, words)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def kept(file):
    """Names of the enquiries in a store."""
    db = Database(f"sqlite:///{file}")
    try:
        return {brief.name for brief in listed(db)}
    finally:
        db.close()


def test_two_processes_at_one_new_store(tmp_path):
    """Both make the file, both write without pause: all is kept of both."""
    both = [storing(tmp_path / "a.db", who, 25) for who in ("ann", "ben")]
    for process in both:
        out, told = process.communicate(timeout=100)
        assert (process.returncode, out.split()) == (0, ["kept"] * 25), told
    assert kept(tmp_path / "a.db") == {f"{who}{n}" for who in ("ann", "ben") for n in range(25)}


def test_a_store_on_a_full_disk(tmp_path):
    """It says so in one sentence; what it said was kept is there afterwards."""
    process = storing(tmp_path / "a.db", "ann", 200, 1_500_000)
    out, told = process.communicate(timeout=100)
    *before, last = out.splitlines()
    assert process.returncode == 0, told
    assert last.startswith("refused ")
    assert 20 < len(last) < 400
    assert before == ["kept"] * len(before)
    assert kept(tmp_path / "a.db") == {f"ann{n}" for n in range(len(before))} != set()
