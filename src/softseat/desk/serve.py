"""Starting the desk."""

import os
import socket
import sys
import threading
from pathlib import Path

import uvicorn

from softseat.desk.app import full_app
from softseat.desk.clock import by
from softseat.desk.guard import LOOPBACK
from softseat.desk.room import Room, open_room
from softseat.errors import InputError
from softseat.store import users
from softseat.store.database import Database


def default_store() -> str:
    """A file in the user's own data folder."""
    root = os.environ.get("XDG_DATA_HOME") or ("~/AppData/Local" if sys.platform == "win32" else "~/.local/share")
    return str(Path(root).expanduser() / "softseat" / "desk.db")


def serve(host: str, port: int, url: str, *, maker: Path | None = None, certificate: Path | None = None, key: Path | None = None) -> None:
    """Serve until stopped. On the loopback nobody logs in; on any other address everybody does.

    Raises
    ------
    InputError
        Where the place is taken or not of this machine, or the desk would be open to others and has no user yet.
    """
    _free(host, port)
    login = host not in LOOPBACK
    room = open_room(url, maker=maker, login=login)
    if login and not any(p.may("lead") for p in users.people(room.db)):
        room.close()
        raise InputError(f"--host {host} opens the desk to others: first `softseat desk --add-user NAME --role lead`, then start it again")
    room.secure = certificate is not None
    app = full_app(room)
    threading.Thread(target=_warm, args=(room,), daemon=True).start()
    print(f"softseat desk: http{'s' if room.secure else ''}://{host}:{port}  (stop with Ctrl-C)", file=sys.stderr)
    uvicorn.run(app, host=host, port=port, log_level="warning", ssl_certfile=certificate, ssl_keyfile=key, server_header=False)


def _free(host: str, port: int) -> None:
    """Says so before anything is opened where nobody can be served there."""
    try:
        family, kind, *_, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        with socket.socket(family, kind) as place:
            place.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            place.bind(address)
    except OSError as error:
        raise InputError(
            f"{host}:{port} cannot be served ({error.strerror or error}); another desk may run there: name another --port"
        ) from None


def _warm(room: Room) -> None:
    """One item decided, so that tables and libraries are read before the first caller rings."""
    room.bench.phone("water dn100 4 bar 20 C")


def add_user(url: str, name: str, role: str, password: str) -> None:
    """A person who may log in."""
    db = Database(url)
    try:
        users.add_user(db, by("the command line"), name, role, password)
    finally:
        db.close()
