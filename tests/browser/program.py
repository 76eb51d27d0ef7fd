"""The program as the practice runs it: its own process, waitress, SQLite in a folder of its own."""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from practice.demo_people import DEMO_PASSWORD

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
LAUNCH = {"executable_path": CHROMIUM, "args": ["--no-sandbox"]}
SIZES = {"desktop": {"width": 1280, "height": 900}, "tablet": {"width": 820, "height": 1180}}
START_SECONDS = 60
PREPARATIONS = (
    ["migrate", "-v0"],
    ["load_reference", "-v0"],
    ["load_demo", "-v0"],
    ["collectstatic", "--noinput", "-v0"],
)


@contextmanager
def running_program(data_folder: Path) -> Iterator[str]:
    """The address of the program with its demo practice, until the block ends."""
    environment = os.environ | {"BOWLWRIGHT_DATA": str(data_folder)}
    environment.pop("DATABASE_URL", None)
    for command in PREPARATIONS:
        subprocess.run([sys.executable, "manage.py", *command], cwd=ROOT, env=environment, check=True)
    place = f"127.0.0.1:{_free_port()}"
    server = subprocess.Popen(
        [sys.executable, "-m", "waitress", f"--listen={place}", "practice.wsgi:application"],
        cwd=ROOT,
        env=environment,
    )
    try:
        _wait_for(f"http://{place}")
        yield f"http://{place}"
    finally:
        server.terminate()
        server.wait(10)


def sign_in(page, address: str, username: str = "robin") -> None:
    page.set_viewport_size(SIZES["desktop"])
    page.goto(f"{address}/sign-in/")
    page.get_by_label("Username").fill(username)
    page.get_by_label("Password").fill(DEMO_PASSWORD)
    page.get_by_role("button", name="Sign in").click()


def _free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


def _wait_for(address: str) -> None:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        try:
            urllib.request.urlopen(address, timeout=2)
            return
        except OSError:
            time.sleep(0.2)
    raise TimeoutError(f"The program did not answer at {address} within {START_SECONDS} s.")
