"""Makes the practice's data ready and serves Bowlwright on this computer. start.py runs it inside .venv."""

import io
import logging
import os
import shlex
import signal
import socket
import sys
from pathlib import Path

import django
import waitress
from django.apps import apps
from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import CommandError, call_command
from django.db import OperationalError

from practice.demo_people import SIGN_IN_FILE
from start import LOCK, ROOT, fingerprint, read_options, say


def listen(port: int) -> socket.socket:
    """The listening socket, taken before anything else so that a busy port is told at once."""
    listener = socket.socket()
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind(("127.0.0.1", port))
        listener.listen()
    except OSError as error:
        sys.exit(
            f"Port {port} cannot be used ({error.strerror}). Perhaps Bowlwright is running already: "
            f"look at http://127.0.0.1:{port}. Or choose another port: ./bowlwright --port {port % 65535 + 1}"
        )
    return listener


def once(stamp: Path, value: str, action) -> None:
    """Runs `action` unless it has already succeeded for `value`, which `stamp` remembers."""
    if stamp.exists() and stamp.read_text() == value:
        return
    stamp.unlink(missing_ok=True)
    action()
    stamp.parent.mkdir(exist_ok=True)
    stamp.write_text(value)


def exists(*models: str) -> bool:
    return any(apps.get_model(model).objects.exists() for model in models)


def load_reference() -> None:
    say("Loading the nutrient data ...")
    call_command("load_reference", stdout=io.StringIO())


def collect_static() -> None:
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)


def load_demo_once(stamps: Path, wanted: bool) -> None:
    """Only a first start on an empty database gets the demo practice."""
    if wanted and not exists("auth.User", "patients.Patient", "recipes.Recipe"):
        once(stamps / "demo", "decided", lambda: call_command("load_demo", stdout=io.StringIO()))
    once(stamps / "demo", "decided", lambda: None)


def make_ready(demo: bool) -> None:
    """Brings the database, the nutrient data, the demo practice and the static files up to date."""
    stamps = settings.DATA_DIR / "stamps"
    call_command("migrate", interactive=False, verbosity=0)
    if not exists("nutrients.Food"):
        (stamps / "reference").unlink(missing_ok=True)
    reference = [path for path in (ROOT / "fixtures").rglob("*") if path.is_file()]
    once(stamps / "reference", fingerprint(reference), load_reference)
    load_demo_once(stamps, demo)
    if not (settings.STATIC_ROOT / "staticfiles.json").exists():
        (stamps / "static").unlink(missing_ok=True)
    static = [Path(storage.path(name)) for finder in get_finders() for name, storage in finder.list([])]
    once(stamps / "static", fingerprint([LOCK, *static]), collect_static)


def where_the_data_lives(folder: Path, database: dict) -> str:
    place = "" if database["ENGINE"].endswith("sqlite3") else f" on {database['HOST'] or 'this computer'}"
    return f"Data: {folder} (database: {database['NAME']}{place})"


def how_to_sign_in() -> str:
    """The demo's sign-in while there is one, or how to make the first account."""
    demo = settings.DATA_DIR / SIGN_IN_FILE
    if demo.exists():
        return demo.read_text().rstrip()
    if exists("auth.User"):
        return ""
    command = shlex.join([sys.executable, str(ROOT / "manage.py"), "add_person", "YOURNAME", "practitioner"])
    if "BOWLWRIGHT_DATA" in os.environ:
        command = f"BOWLWRIGHT_DATA={shlex.quote(str(settings.DATA_DIR))} {command}"
    return f"There is no account yet. In a second terminal, make the first one:\n  {command}"


def main(arguments) -> None:
    options = read_options(arguments)
    listener = listen(options.port)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "practice.settings")
    django.setup()
    try:
        make_ready(demo=not options.no_demo)
    except (CommandError, OperationalError) as error:
        sys.exit(f"The data could not be made ready: {error}")
    from practice.wsgi import application  # only now: it looks at the static files as it loads

    say(where_the_data_lives(settings.DATA_DIR, settings.DATABASES["default"]))
    say(how_to_sign_in())
    say(f"Bowlwright is at http://127.0.0.1:{options.port} (Ctrl-C ends it)")
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a request that waits a moment is no news
    waitress.serve(application, sockets=[listener], ident=None, _quiet=True)


if __name__ == "__main__":
    try:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, [signal.SIGINT])  # start.py held it back
        main(sys.argv[1:])
    except KeyboardInterrupt:
        sys.exit(130)
