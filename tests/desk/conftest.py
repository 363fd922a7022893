"""A desk that serves for real: uvicorn in a thread, its store in a file of its own."""

import os
import shutil
import socket
import subprocess
import sys
import threading
import time
from contextlib import contextmanager

import httpx
import pytest
import uvicorn
from tests.absent import absent

from softseat.desk.app import api_app
from softseat.desk.room import open_room

# invented
SCHEDULE = """Tag,Service,Medium,Size,Rating,Flow,Press op barg,Temp C,Body,Disc,Liner,Operator
T-1,raw water,water,DN200,PN10,380 m3/h,4,20,,,EPDM,gear
T-2,plant air,compressed air,DN100,PN10,,7,30,,,EPDM,lever
T-3,plant air,compressed air,DN150,PN10,,7,30,,,EPDM,gear
T-4,hot oil,mineral oil,DN80,PN16,60 m3/h,5,60,,CF8M,EPDM,lever
"""


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


class Served:
    """One running application and a client to it."""

    def __init__(self, room):
        self.room, self.port = room, free_port()
        self.server = uvicorn.Server(uvicorn.Config(api_app(room), host="127.0.0.1", port=self.port, log_level="error"))
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        end = time.monotonic() + 20
        while not self.server.started and time.monotonic() < end:
            time.sleep(0.02)
        self.url = f"http://127.0.0.1:{self.port}"
        self.client = httpx.Client(base_url=self.url, timeout=60)

    def take(self, text=SCHEDULE, name="schedule.csv", **data):
        answer = self.client.post("/api/enquiries", files={"file": (name, text.encode() if isinstance(text, str) else text)}, data=data)
        assert answer.status_code == 201, answer.text
        return answer.json()["id"]

    def close(self):
        self.client.close()
        self.server.should_exit = True
        self.thread.join(10)


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    served = Served(open_room(str(tmp_path_factory.mktemp("desk") / "desk.db")))
    yield served
    served.close()


@contextmanager
def running(folder, host="127.0.0.1"):
    """The whole desk, pages too, as a user starts it: a process of its own."""
    port = free_port()
    command = [sys.executable, "-m", "softseat.cli", "desk", "--host", host, "--port", str(port), "--db", str(folder / "desk.db")]
    path = os.pathsep.join(p for p in sys.path if p)
    url = f"http://{host}:{port}"
    with (folder / "log").open("w") as log:
        process = subprocess.Popen(command, env={**os.environ, "PYTHONPATH": path}, stdout=log, stderr=log)
        for _ in range(300):
            try:
                httpx.get(f"{url}/login", timeout=2)
                break
            except httpx.TransportError:
                assert process.poll() is None, (folder / "log").read_text()
                time.sleep(0.1)
        yield url
        process.terminate()
        process.wait(10)


@pytest.fixture(scope="module")
def full(tmp_path_factory):
    """The desk of one person at his own machine."""
    with running(tmp_path_factory.mktemp("full")) as url:
        yield url


CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
FLAGS += ["--disable-component-update", "--disable-sync"]


@pytest.fixture(scope="module")
def browser():
    if CHROMIUM is None:
        absent("chromium is not installed (apt-get install chromium)")
    sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with sync_api.sync_playwright() as p:
        started = p.chromium.launch(executable_path=CHROMIUM, headless=True, args=FLAGS)
        yield started
        started.close()
