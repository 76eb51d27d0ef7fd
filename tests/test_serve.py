"""What happens between `./bowlwright` and the first page."""

import os
import socket
from pathlib import Path
from wsgiref.util import setup_testing_defaults

import pytest

import serve


def test_once_runs_again_only_for_another_value(tmp_path):
    runs = []
    stamp = tmp_path / "stamps" / "reference"
    for value in ("a", "a", "b", "b", "a"):
        serve.once(stamp, value, lambda value=value: runs.append(value))
    assert runs == ["a", "b", "a"]


def test_once_does_not_remember_what_failed(tmp_path):
    stamp = tmp_path / "stamp"
    serve.once(stamp, "a", lambda: None)
    with pytest.raises(ZeroDivisionError):
        serve.once(stamp, "b", lambda: 1 / 0)
    runs = []
    serve.once(stamp, "a", lambda: runs.append("a"))
    assert runs == ["a"]


def test_busy_port_says_which_option_helps():
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(SystemExit, match=f"Port {port} cannot be used.*--port"):
            serve.listen(port)


def test_free_port_is_held_on_this_computer_only():
    with serve.listen(0) as listener:
        assert listener.getsockname()[0] == "127.0.0.1"


@pytest.fixture
def commands(monkeypatch):
    ran = []
    monkeypatch.setattr(serve, "call_command", lambda name, **_: ran.append(name))
    return ran


def test_first_start_on_an_empty_database_loads_the_demo_once(db, tmp_path, commands):
    serve.load_demo_once(tmp_path, wanted=True)
    serve.load_demo_once(tmp_path, wanted=True)
    assert commands == ["load_demo"]


def test_a_first_start_without_the_demo_is_remembered(db, tmp_path, commands):
    serve.load_demo_once(tmp_path, wanted=False)
    serve.load_demo_once(tmp_path, wanted=True)
    assert commands == []


def test_a_database_in_use_never_gets_the_demo(practitioner, tmp_path, commands):
    serve.load_demo_once(tmp_path, wanted=True)
    practitioner.delete()
    serve.load_demo_once(tmp_path, wanted=True)
    assert commands == []


def test_without_an_account_the_first_one_is_explained(db, settings, tmp_path, monkeypatch):
    settings.DATA_DIR = tmp_path / "my data"
    settings.DATA_DIR.mkdir()
    monkeypatch.setitem(os.environ, "BOWLWRIGHT_DATA", "my data")
    told = serve.how_to_sign_in()
    assert f"BOWLWRIGHT_DATA='{settings.DATA_DIR}' " in told
    assert told.endswith("manage.py add_person YOURNAME practitioner")


def test_with_an_account_nothing_is_told(practitioner, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    assert serve.how_to_sign_in() == ""


def test_the_demos_sign_in_is_shown_while_it_lasts(db, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    (tmp_path / "demo-sign-in.txt").write_text("Sign in as robin\n")
    assert serve.how_to_sign_in() == "Sign in as robin"


def test_a_database_elsewhere_is_named_without_its_password():
    server = {"ENGINE": "django.db.backends.postgresql", "NAME": "bowls", "HOST": "db", "PASSWORD": "secret"}
    assert serve.where_the_data_lives(Path("/data"), server) == "Data: /data (database: bowls on db)"


def test_the_application_sends_strangers_to_the_sign_in(db):
    from practice.wsgi import application

    request = {"HTTP_HOST": "localhost"}
    setup_testing_defaults(request)
    answers = []
    application(request, lambda status, headers: answers.append((status, dict(headers))))
    [(status, headers)] = answers
    assert status == "302 Found"
    assert headers["Location"].startswith("/sign-in")
