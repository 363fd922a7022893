"""Opening the store: an SQLite file or a PostgreSQL address, brought to the newest table layout."""

from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, OperationalError, SQLAlchemyError
from sqlalchemy.orm import Session

from softseat.errors import InputError, StoreError

SQLITE = "sqlite:///"
# one writer at a time waits this long [ms] before it is told that the file is busy
BUSY = 10_000


class Database:
    """A store that is open. ``reading`` and ``writing`` give a session; the latter commits all or nothing."""

    def __init__(self, url: str) -> None:
        self.url = url
        self.engine = _engine(url)
        self.writer = self.engine.execution_options(writes=True)
        self._upgrade()

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A look.

        Raises
        ------
        StoreError
            Where the database cannot be reached.
        """
        try:
            with Session(self.engine, expire_on_commit=False) as session:
                yield session
        except DBAPIError as error:
            raise StoreError(f"the store cannot be read ({_first_line(error)}): nothing was changed; try again in a moment") from error

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """One transaction.

        Raises
        ------
        StoreError
            Where the database refuses, or cannot be reached.
        """
        try:
            with Session(self.writer, expire_on_commit=False) as session, session.begin():
                yield session
        except DBAPIError as error:
            raise StoreError(_refused(error)) from error

    def close(self) -> None:
        self.engine.dispose()

    def _upgrade(self) -> None:
        config = Config()
        config.set_main_option("script_location", str(files("softseat") / "store" / "migrations"))
        try:
            with self.writer.begin() as connection:
                _alone(connection)
                config.attributes["connection"] = connection
                command.upgrade(config, "head")
        except (OperationalError, SQLAlchemyError) as error:
            raise StoreError(f"{self.engine.url.render_as_string()}: cannot be opened ({_first_line(error)})") from None


def _alone(connection: Connection) -> None:
    """Two desks that start at once do not both lay the tables (SQLite locks the file by itself)."""
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql("SELECT pg_advisory_xact_lock(5077)")


def _refused(error: DBAPIError) -> str:
    if not (error.connection_invalidated or isinstance(error, OperationalError)):
        return f"the store refused the change ({_first_line(error)}): nothing was written"
    # lost while it committed, nobody can tell from here whether it did
    return f"the store cannot be reached ({_first_line(error)}): load the page again and look whether your change stands; if not, repeat it"


def _first_line(error: Exception) -> str:
    return str(getattr(error, "orig", None) or error).splitlines()[0]


def _engine(url: str) -> Engine:
    if "://" not in url:
        url = f"{SQLITE}{Path(url).expanduser().resolve()}"
    if url.startswith("postgresql://"):
        url = url.replace("postgresql://", "postgresql+psycopg://", 1)
    if not url.startswith((SQLITE, "postgresql+psycopg://")):
        raise InputError("--db: allowed are a file name, sqlite:///FILE or postgresql://USER@HOST/NAME")
    try:
        engine = create_engine(url, pool_pre_ping=True)
    except ImportError:
        raise InputError("--db: a PostgreSQL store needs its driver: pip install 'softseat[postgresql]'") from None
    except (ArgumentError, NoSuchModuleError) as error:
        raise InputError(f"--db: {_first_line(error)}") from None
    if engine.dialect.name == "sqlite":
        if engine.url.database:
            Path(engine.url.database).parent.mkdir(parents=True, exist_ok=True)
        event.listen(engine, "connect", _sqlite_rules)
        event.listen(engine, "begin", _sqlite_begin)
    return engine


def _sqlite_rules(raw: Any, _record: object) -> None:
    """Readers never wait for a writer; what is committed is on the disk; a reference points somewhere."""
    raw.isolation_level = None
    cursor = raw.cursor()
    for rule in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", f"busy_timeout={BUSY}"):
        cursor.execute(f"PRAGMA {rule}")
    cursor.close()


def _sqlite_begin(connection: Connection) -> None:
    """A writer takes the lock at the start, so that what it read in the transaction is still so when it writes."""
    connection.exec_driver_sql("BEGIN IMMEDIATE" if connection.get_execution_options().get("writes") else "BEGIN")
