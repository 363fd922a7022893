"""The desk over PostgreSQL as a team runs it: taken in, edited by two at once, the server stopped and killed between two saves."""

import os
import signal
import socket
import subprocess
import sys
import threading
import time
from pathlib import Path

import httpx
import pytest

FILE = sorted((Path(__file__).parents[1] / "enquiry" / "enquiries").glob("*.csv"))[1]


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


@pytest.fixture
def team(own_postgres, tmp_path):
    """Two desks over one store, each a process of its own, and a client to each."""
    url, running, clients = own_postgres.empty(), [], []
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
    with (tmp_path / "log").open("w") as log:
        for _ in range(2):
            port = free_port()
            command = [sys.executable, "-m", "softseat.cli", "desk", "--port", str(port), "--db", url]
            running.append(subprocess.Popen(command, env=environment, stdout=log, stderr=log))
            clients.append(httpx.Client(base_url=f"http://127.0.0.1:{port}", timeout=120))
        for client, process in zip(clients, running, strict=True):
            _up(client, process, tmp_path / "log")
        yield clients
        [c.close() for c in clients]
        [p.terminate() for p in running]
        [p.wait(20) for p in running]


def _up(client, process, log):
    for _ in range(600):
        try:
            client.get("/api/enquiries", timeout=2)
        except httpx.TransportError:
            assert process.poll() is None, log.read_text()
            time.sleep(0.1)
        else:
            return
    raise AssertionError("the desk does not come up")


def write(client, number, n, flow, tag):
    return client.patch(f"/api/enquiries/{number}/items/{n}", json={"flow": flow}, headers={"If-Match": tag})


def test_a_team_on_one_store_loses_nothing_that_was_said_to_be_written(team, own_postgres):
    one, other = team
    number = one.post("/api/enquiries", files={"file": (FILE.name, FILE.read_bytes())}).json()["id"]
    at = f"/api/enquiries/{number}/items"
    assert one.get(at).json() == other.get(at).json()
    _two_at_once(one, other, number, at)
    first = write(one, number, 1, "41 m3/h", "*")
    assert first.status_code == 200
    for how in (signal.SIGINT, signal.SIGQUIT):  # told to stop, and as if the power had failed
        own_postgres.stop(how)
        down = write(other, number, 2, "42 m3/h", "*")
        assert down.status_code == 503
        assert down.headers["content-type"] == "application/problem+json"
        assert "try again" in down.json()["detail"] or "repeat it" in down.json()["detail"]
        own_postgres.start()
        assert one.get(f"{at}/1").json()["asked"]["flow"] == "41 m3/h"
        assert write(other, number, 2, "42 m3/h", "*").status_code == 200, "the desk finds the server again by itself"
    assert [one.get(f"{at}/{n}").json()["asked"]["flow"] for n in (1, 2)] == ["41 m3/h", "42 m3/h"]


def _two_at_once(one, other, number, at):
    """From two desks on one row: one is served, the other is told; on two rows both are."""
    tag = one.get(f"{at}/3").headers["etag"]
    start, answers = threading.Barrier(2), {}

    def engineer(client, flow):
        start.wait()
        answers[flow] = write(client, number, 3, flow, tag).status_code

    threads = [threading.Thread(target=engineer, args=(c, f)) for c, f in ((one, "31 m3/h"), (other, "32 m3/h"))]
    [t.start() for t in threads]
    [t.join() for t in threads]
    assert sorted(answers.values()) == [200, 412]
    served = next(f for f, status in answers.items() if status == 200)
    assert one.get(f"{at}/3").json()["asked"]["flow"] == other.get(f"{at}/3").json()["asked"]["flow"] == served
