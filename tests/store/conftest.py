"""Both stores for real: an SQLite file, and a PostgreSQL server started for the run where one is installed."""

import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

import pytest
from tests.absent import absent

from softseat.store.audit import By
from softseat.store.database import Database

ANN, BEN = By("Ann", "2030-01-02T10:00:00+00:00"), By("Ben", "2030-01-02T11:00:00+00:00")


def _binaries():
    found = shutil.which("pg_ctl")
    places = [Path(found).parent] if found else []
    places += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True) if Path("/usr/lib/postgresql").is_dir() else []
    return next((p for p in places if (p / "initdb").exists()), None)


def _as_postgres():
    """PostgreSQL does not run as root: there it takes its own user."""
    if os.geteuid() != 0:
        return None
    try:
        return pwd.getpwnam("postgres")
    except KeyError:
        return False


class Server:
    """A PostgreSQL server of this run, which can be stopped and started again."""

    def __init__(self, binaries, user, root, *options):
        self.binaries, self.root, self.options = binaries, root, options
        self.quiet = {"stdin": subprocess.DEVNULL, "stdout": subprocess.DEVNULL, "stderr": subprocess.STDOUT, "cwd": root}
        if user:
            os.chown(root, user.pw_uid, user.pw_gid)
            self.quiet |= {"user": user.pw_uid, "group": user.pw_gid, "env": {"PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"}}
        with socket.socket() as s:
            s.bind(("127.0.0.1", 0))
            self.port = s.getsockname()[1]
        made = [binaries / "initdb", "-D", root / "data", "-A", "trust", "-U", "desk", "--no-sync"]
        subprocess.run(made, check=True, **self.quiet)
        self.start()

    @property
    def url(self):
        return f"postgresql://desk@127.0.0.1:{self.port}/postgres"

    def start(self):
        import psycopg

        command = [self.binaries / "postgres", "-D", self.root / "data", "-p", str(self.port), "-k", self.root]
        self.process = subprocess.Popen([*command, "-c", "listen_addresses=127.0.0.1", *self.options], **self.quiet)
        for _ in range(600):
            try:
                psycopg.connect(self.url, connect_timeout=2).close()
            except psycopg.OperationalError:
                time.sleep(0.1)
            else:
                return
        self.stop(signal.SIGQUIT)
        raise AssertionError("the server does not come up")

    def stop(self, how=signal.SIGINT):
        self.process.send_signal(how)
        self.process.wait(20)

    def empty(self):
        """The address of a store of its own."""
        import psycopg

        name = f"t{time.monotonic_ns()}"
        with psycopg.connect(self.url, autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}")
        return self.url.rpartition("/")[0] + f"/{name}"


@contextmanager
def _server(*options):
    """A server in a folder of its own: pytest shuts its folders to the server's user whenever a second run begins beside this one."""
    binaries, user = _binaries(), _as_postgres()
    if binaries is None or user is False:
        absent("PostgreSQL is not installed (apt-get install postgresql)")
    pytest.importorskip("psycopg", reason="psycopg is not installed")
    root = Path(tempfile.mkdtemp(prefix="softseat-postgresql-"))
    try:
        server = Server(binaries, user, root, *options)
        try:
            yield server
        finally:
            server.stop()
    finally:
        shutil.rmtree(root, ignore_errors=True)


@pytest.fixture(scope="session")
def postgres():
    """A server that lives as long as the run."""
    with _server("-c", "fsync=off") as server:
        yield server


@pytest.fixture
def own_postgres():
    """A server that a test may stop, and that writes to the disk as one in use does."""
    with _server("-c", "recovery_init_sync_method=syncfs") as server:  # else it looks at each file anew, for a minute
        yield server


@pytest.fixture(params=["sqlite", "postgresql"])
def db(request, tmp_path):
    """An empty store of either kind."""
    url = str(tmp_path / "desk.db") if request.param == "sqlite" else request.getfixturevalue("postgres").empty()
    opened = Database(url)
    yield opened
    opened.close()
