"""A desk that is open to others: who may do what, and how the door holds."""

import re

import httpx
import pytest

from softseat.desk.app import api_app
from softseat.desk.clock import by, later
from softseat.desk.pages import login
from softseat.desk.room import open_room
from softseat.desk.serve import serve
from softseat.errors import InputError
from softseat.store import users

from .conftest import SCHEDULE, Served

LONG = "a long enough password"


class Guarded(Served):
    """Everyone logs in."""

    def __init__(self, place):
        room = open_room(str(place / "desk.db"), login=True)
        for name, role in (("Lea", "lead"), ("Eve", "engineer"), ("Rob", "reader")):
            users.add_user(room.db, by("a test"), name, role, LONG)
        super().__init__(room)

    def as_token(self, name):
        person = next(p for p in users.people(self.room.db) if p.name == name)
        secret = users.new_key(self.room.db, by(name), person.id, "token", later(1))
        return httpx.Client(base_url=self.url, timeout=60, headers={"authorization": f"Bearer {secret}"})

    def as_browser(self):
        return httpx.Client(base_url=self.url, timeout=60)


@pytest.fixture(scope="module")
def guarded(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("softseat.desk.app.api_app", api_app)
        served = Guarded(tmp_path_factory.mktemp("guarded"))
        served.server.config.app.include_router(login.router)
        yield served
        served.close()


def log_in(client, name, password):
    token = re.search(r'name="csrf" value="([^"]+)"', client.get("/login").text)[1]
    return client.post("/login", data={"name": name, "password": password, "csrf": token})


def test_without_a_name_nothing_is_told(guarded):
    answer = guarded.client.get("/api/enquiries")
    assert answer.status_code == 401
    assert answer.headers["content-type"] == "application/problem+json"
    page = guarded.client.get("/people", headers={"accept": "text/html"})
    assert (page.status_code, page.headers["location"]) == (303, "/login")


def test_roles(guarded):
    with guarded.as_token("Rob") as rob, guarded.as_token("Eve") as eve:
        files = {"file": ("s.csv", SCHEDULE.encode())}
        assert rob.post("/api/enquiries", files=files).status_code == 403
        assert rob.post("/api/item", json={"words": "water dn100 3 bar 20C"}).status_code == 200
        assert rob.post("/api/why", json={"answers": {"place": ["hub"]}}).status_code == 200, "computed, and nothing kept"
        assert rob.post("/api/works/blank", json={"items": []}).status_code == 403
        made = eve.post("/api/enquiries", files=files)
        assert made.status_code == 201
        assert rob.get(f"/api/enquiries/{made.json()['id']}/items").status_code == 200
        assert rob.patch(f"/api/enquiries/{made.json()['id']}/items/1", json={"size": "DN80"}, headers={"If-Match": "*"}).status_code == 403
        assert eve.get("/api/enquiries").json()[0]["made_by"] == "Eve"


def test_a_session_needs_the_forms_own_token_and_the_requests_own(guarded):
    with guarded.as_browser() as client:
        assert client.post("/login", data={"name": "Eve", "password": LONG, "csrf": "guessed"}).status_code == 403
        answer = log_in(client, "Eve", LONG)
        assert answer.status_code == 303
        cookies = answer.headers.get_list("set-cookie")
        session = next(c for c in cookies if c.startswith("softseat_session"))
        assert "HttpOnly" in session
        assert "SameSite=strict" in session
        assert client.get("/api/enquiries").status_code == 200
        assert client.post("/api/enquiries", files={"file": ("s.csv", SCHEDULE.encode())}).status_code == 403
        csrf = client.cookies["softseat_csrf"]
        assert (
            client.post("/api/enquiries", files={"file": ("s.csv", SCHEDULE.encode())}, headers={"x-csrf-token": csrf}).status_code == 201
        )
        client.post("/logout")
        assert client.get("/api/enquiries").status_code == 401


def test_a_key_that_was_logged_out_opens_nothing(guarded):
    with guarded.as_browser() as client, guarded.as_browser() as thief:
        log_in(client, "Eve", LONG)
        thief.cookies.set("softseat_session", client.cookies["softseat_session"])
        assert thief.get("/api/enquiries").status_code == 200
        client.post("/logout")
        assert thief.get("/api/enquiries").status_code == 401


def test_after_a_few_wrong_passwords_the_door_stays_shut(guarded):
    login.tries.wrong.clear()
    with guarded.as_browser() as client:
        seen = [log_in(client, "Lea", "wrong" * 4).status_code for _ in range(6)]
        assert seen == [401] * 5 + [429]
        assert log_in(client, "Lea", LONG).status_code == 429
    login.tries.wrong.clear()


def test_open_to_others_needs_a_lead_first(tmp_path):
    with pytest.raises(InputError, match="--add-user"):
        serve("0.0.0.0", 1, str(tmp_path / "desk.db"))
