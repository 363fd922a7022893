"""Both stores for real: an SQLite file, and a PostgreSQL server started for the run where one is installed."""

import os
import pwd
import shutil
import socket
import subprocess
import time
from pathlib import Path

import pytest

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


@pytest.fixture(scope="session")
def postgres(tmp_path_factory):
    """The address of a server that lives as long as the run."""
    binaries, user = _binaries(), _as_postgres()
    if binaries is None or user is False:
        pytest.skip("PostgreSQL is not installed (apt-get install postgresql)")
    pytest.importorskip("psycopg", reason="psycopg is not installed")
    root = tmp_path_factory.mktemp("postgres")
    if user:
        for place in (root, *root.parents):
            if place.owner() == "root" and place != Path(place.anchor) and "pytest" in str(place):
                place.chmod(0o755)
        os.chown(root, user.pw_uid, user.pw_gid)
    as_user = (
        {"user": user.pw_uid, "group": user.pw_gid, "cwd": root, "env": {"PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"}}
        if user
        else {"cwd": root}
    )
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        port = s.getsockname()[1]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.STDOUT}
    subprocess.run([binaries / "initdb", "-D", root / "data", "-A", "trust", "-U", "desk", "--no-sync"], check=True, **as_user, **quiet)
    server = subprocess.Popen(
        [binaries / "postgres", "-D", root / "data", "-p", str(port), "-k", root, "-c", "listen_addresses=127.0.0.1", "-c", "fsync=off"],
        **as_user,
        **quiet,
    )
    for _ in range(100):
        with socket.socket() as s:
            if s.connect_ex(("127.0.0.1", port)) == 0:
                break
        time.sleep(0.1)
    time.sleep(0.5)
    yield f"postgresql://desk@127.0.0.1:{port}/postgres"
    server.terminate()
    server.wait(20)


@pytest.fixture(params=["sqlite", "postgresql"])
def db(request, tmp_path):
    """An empty store of either kind."""
    if request.param == "sqlite":
        url = str(tmp_path / "desk.db")
    else:
        import psycopg

        server, name = request.getfixturevalue("postgres"), f"t{time.monotonic_ns()}"
        with psycopg.connect(server, autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}")
        url = server.rpartition("/")[0] + f"/{name}"
    opened = Database(url)
    yield opened
    opened.close()
