"""People: passwords are hashed, sessions end, one lead stays."""

import pytest
from sqlalchemy import text

from softseat.errors import InputError
from softseat.store import users
from softseat.store.audit import By
from softseat.store.records import Conflict

from .conftest import ANN

LONG = "a long enough password"


def test_a_password_is_kept_as_a_hash_only(db):
    users.add_user(db, ANN, "Cid", "lead", LONG)
    with db.reading() as session:
        held = session.scalar(text("SELECT password FROM users"))
    assert held.startswith("$argon2id$")  # RFC 9106, the variant it recommends
    assert LONG not in held
    assert users.checked(db, "Cid", LONG).role == "lead"
    assert users.checked(db, "Cid", LONG + "x") is None
    assert users.checked(db, "Nobody", LONG) is None


def test_short_passwords_unknown_roles_and_doubles_are_refused(db):
    with pytest.raises(InputError, match="letters"):
        users.add_user(db, ANN, "Cid", "lead", "short")
    with pytest.raises(InputError, match="reader, engineer, lead"):
        users.add_user(db, ANN, "Cid", "boss", LONG)
    users.add_user(db, ANN, "Cid", "lead", LONG)
    with pytest.raises(Conflict, match="already"):
        users.add_user(db, ANN, "Cid", "reader", LONG)


def test_roles_in_their_order(db):
    reader, engineer = users.Person(1, "r", "reader"), users.Person(2, "e", "engineer")
    assert reader.may("reader")
    assert not reader.may("engineer")
    assert engineer.may("reader")
    assert not engineer.may("lead")
    assert not users.Person(3, "x", "lead", active=False).may("reader")


def test_a_session_ends_by_time_by_log_out_and_by_being_put_out(db):
    cid = users.add_user(db, ANN, "Cid", "lead", LONG)
    dan = users.add_user(db, ANN, "Dan", "engineer", LONG)
    key = users.new_key(db, ANN, dan.id, "session", "2030-01-02T12:00:00+00:00")
    assert users.holder(db, key, "session", "2030-01-02T11:59:59+00:00").name == "Dan"
    assert users.holder(db, key, "token", "2030-01-02T11:00:00+00:00") is None
    assert users.holder(db, key, "session", "2030-01-02T12:00:00+00:00") is None
    users.change_user(db, By("Cid", ANN.when), "Dan", active=False)
    assert users.holder(db, key, "session", "2030-01-02T11:00:00+00:00") is None
    own = users.new_key(db, ANN, cid.id, "session", "2030-01-02T12:00:00+00:00")
    users.end_key(db, own)
    assert users.holder(db, own, "session", "2030-01-02T11:00:00+00:00") is None
    with pytest.raises(Conflict, match="one lead"):
        users.change_user(db, ANN, "Cid", role="reader")
