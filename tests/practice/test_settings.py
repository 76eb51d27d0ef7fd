"""Settings that keep data safe: the secret key's file and how SQLite writes."""

import stat

import pytest
from django.conf import settings
from django.db.utils import ConnectionHandler

from practice import settings as own

on_sqlite = pytest.mark.skipif(
    "sqlite" not in settings.DATABASES["default"]["ENGINE"], reason="another database is in use"
)


def test_the_secret_key_is_made_once_and_read_by_its_owner_only(tmp_path, monkeypatch):
    monkeypatch.setattr(own, "DATA_DIR", tmp_path)
    key = own._secret_key()
    assert len(key) >= 50
    assert own._secret_key() == key
    assert stat.S_IMODE((tmp_path / "secret_key").stat().st_mode) == 0o600


def test_a_key_whose_writing_was_interrupted_is_made_again(tmp_path, monkeypatch):
    monkeypatch.setattr(own, "DATA_DIR", tmp_path)
    (tmp_path / "secret_key").touch(mode=0o600)
    assert len(own._secret_key()) >= 50


def test_every_data_folder_has_a_key_of_its_own(tmp_path, monkeypatch):
    keys = set()
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        monkeypatch.setattr(own, "DATA_DIR", tmp_path / name)
        keys.add(own._secret_key())
    assert len(keys) == 2


def test_the_data_folder_stays_out_of_the_repository():
    ignored = (settings.BASE_DIR / ".gitignore").read_text().split()
    assert "data" in [line.strip("/") for line in ignored]
    for path in settings.BASE_DIR.glob("*/*.py"):
        assert settings.SECRET_KEY not in path.read_text(encoding="utf-8")


@pytest.fixture
def connection(tmp_path, db):
    given = settings.DATABASES["default"] | {"NAME": tmp_path / "practice.sqlite3"}
    connection = ConnectionHandler({"default": given})["default"]
    yield connection
    connection.close()


@on_sqlite
@pytest.mark.parametrize(
    ("pragma", "value"),
    [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1), ("busy_timeout", 20_000)],
)
def test_sqlite_writes_safely(connection, pragma, value):
    with connection.cursor() as cursor:
        assert cursor.execute(f"PRAGMA {pragma}").fetchone()[0] == value


@on_sqlite
def test_a_transaction_takes_its_lock_at_once(connection):
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE pot (grams REAL)")
    asked = []
    connection.connection.set_trace_callback(asked.append)
    connection.set_autocommit(False, force_begin_transaction_with_broken_autocommit=True)
    connection.rollback()
    assert "BEGIN IMMEDIATE" in asked
