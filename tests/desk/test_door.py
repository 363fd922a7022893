"""A desk that is open to others, with a browser at its door: cookies, roles, wrong passwords, and what a screen reader hears there."""

import socket
import subprocess
import sys
from importlib.resources import files

import httpx
import pytest

from softseat.desk.serve import add_user, serve
from softseat.errors import InputError

from .conftest import SCHEDULE, running

LONG = "a long enough password"
OPEN = "127.0.0.2"  # an address of this machine that is not the loopback's name: everybody logs in

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux has the whole of 127.0.0.0/8 on the loopback")


@pytest.fixture(scope="module")
def door(tmp_path_factory):
    folder = tmp_path_factory.mktemp("door")
    for name, role in (("Lea", "lead"), ("Eve", "engineer"), ("Rob", "reader")):
        add_user(str(folder / "desk.db"), name, role, LONG)
    with running(folder, OPEN) as url:
        yield url


@pytest.fixture
def page(browser, door):
    context = browser.new_context(viewport={"width": 1366, "height": 768}, base_url=door)
    shown = context.new_page()
    shown.set_default_timeout(20_000)
    yield shown
    context.close()


def log_in(page, name, password=LONG):
    page.goto("/")
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Log in").click()


def test_open_to_others_without_a_lead_it_does_not_start(tmp_path):
    command = [sys.executable, "-m", "softseat.cli", "desk", "--host", OPEN, "--port", "1", "--db", str(tmp_path / "desk.db")]
    told = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert told.returncode == 2
    assert "--add-user NAME --role lead" in told.stderr


def test_who_is_not_known_sees_the_door_alone(page, door):
    page.goto("/maker")
    assert page.url == f"{door}/login"
    assert page.get_by_label("Name").evaluate("e => e === document.activeElement")
    for path in ("/api/enquiries", "/api/calc", "/openapi.json", "/desk/desk.js", "/works"):
        assert httpx.get(f"{door}{path}").status_code == 401, path


def test_the_session_is_hidden_from_scripts_and_from_other_sites(page):
    log_in(page, "Eve")
    page.get_by_role("heading", name="What is asked for?").wait_for()
    held = {c["name"]: c for c in page.context.cookies()}
    assert (held["softseat_session"]["httpOnly"], held["softseat_session"]["sameSite"]) == (True, "Strict")
    assert (held["softseat_csrf"]["httpOnly"], held["softseat_csrf"]["sameSite"]) == (False, "Strict")
    assert "softseat_session" not in page.evaluate("document.cookie")
    assert page.evaluate("fetch('/api/item', {method: 'POST', body: '{}'}).then(r => r.status)") == 403, "without the token"


def test_a_reader_looks_and_does_not_change(page, door):
    log_in(page, "Eve")
    page.locator("input[type=file]").set_input_files({"name": "s.csv", "mimeType": "text/csv", "buffer": SCHEDULE.encode()})
    page.wait_for_url("**/enquiry/*")
    at = page.url
    page.goto("/people")
    page.get_by_role("button", name="Log out").click()
    page.wait_for_url("**/login")
    log_in(page, "Rob")
    page.wait_for_url(f"{door}/")
    page.goto(at)
    cell = page.locator(".ag-row[row-id='1'] [col-id='flow']")
    cell.dblclick()
    page.keyboard.type("1 m3/h")
    page.keyboard.press("Enter")
    assert cell.inner_text() == "380 m3/h"
    page.get_by_role("button", name="Undo").click()
    page.get_by_text("as reader you may look, not change").wait_for()
    page.goto(f"{at}/item/1")
    page.get_by_role("button", name="Decide by hand").click()
    page.get_by_label("What is offered nevertheless").fill("as asked")
    page.get_by_label("Reason, in words").fill("because I want it so")
    page.get_by_role("button", name="Enter it under my name").click()
    page.get_by_text("as reader you may look, not change").wait_for()
    assert page.evaluate(
        """async (at) => (await fetch(at, {method: 'PATCH', headers: {'If-Match': '*', 'content-type': 'application/json',
        'x-csrf-token': document.cookie.split('softseat_csrf=')[1].split(';')[0]}, body: '{"size": "DN80"}'})).status""",
        f"/api/enquiries/{at.rpartition('/')[2]}/items/1",
    ) == 403  # fmt: skip
    page.goto("/people")
    page.get_by_text("You are Rob").wait_for()
    assert page.get_by_role("heading", name="Everyone").count() == 0


def test_after_five_wrong_passwords_the_door_stays_shut_and_says_so(page):
    """The last test of this door: the address stays shut for minutes."""
    said = []
    for _ in range(6):
        log_in(page, "Lea", "wrong password again")
        said.append(page.get_by_role("alert").inner_text())
    assert said == ["Name and password do not fit."] * 5 + ["Too many wrong passwords: wait five minutes."]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_door_is_open_to_a_screen_reader(browser, door, scheme):
    pytest.importorskip("axe_playwright_python", reason="axe-playwright-python is not installed")
    context = browser.new_context(base_url=door, color_scheme=scheme)
    shown = context.new_page()
    shown.goto("/login")
    shown.evaluate((files("axe_playwright_python") / "axe.min.js").read_text("utf-8"))
    assert shown.evaluate("async () => (await axe.run()).violations.map(v => v.id)") == []
    context.close()


def test_a_place_that_is_taken_is_told_before_anything_is_opened(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(InputError, match=f"127.0.0.1:{port} cannot be served .*another --port"):
            serve("127.0.0.1", port, str(tmp_path / "desk.db"))
    assert not (tmp_path / "desk.db").exists()
