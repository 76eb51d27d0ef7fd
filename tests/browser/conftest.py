"""The running program with its demo practice, and a browser beside it.

The program runs as it does for the practice: its own process, waitress, SQLite in a folder of its own.
"""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from practice.demo import DEMO_PASSWORD

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
START_SECONDS = 60
SIZES = {"desktop": {"width": 1280, "height": 900}, "tablet": {"width": 820, "height": 1180}}


def pytest_collection_modifyitems(items):
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)
            if CHROMIUM is None:
                item.add_marker(pytest.mark.skip(reason="Chromium is not installed on this machine"))


@pytest.fixture(scope="session")
def program(tmp_path_factory):
    """The address of the running program."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    environment = os.environ | {"BOWLWRIGHT_DATA": str(tmp_path_factory.mktemp("data"))}
    environment.pop("DATABASE_URL", None)
    for command in (
        ["migrate", "-v0"],
        ["load_reference", "-v0"],
        ["load_demo", "-v0"],
        ["collectstatic", "--noinput", "-v0"],
    ):
        subprocess.run([sys.executable, "manage.py", *command], cwd=ROOT, env=environment, check=True)
    server = subprocess.Popen(
        [sys.executable, "-m", "waitress", f"--listen=127.0.0.1:{port}", "practice.wsgi:application"],
        cwd=ROOT,
        env=environment,
    )
    address = f"http://127.0.0.1:{port}"
    _wait_for(address)
    yield address
    server.terminate()
    server.wait(10)


def _wait_for(address: str) -> None:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        try:
            urllib.request.urlopen(address, timeout=2)
            return
        except OSError:
            time.sleep(0.2)
    raise TimeoutError(f"The program did not answer at {address} within {START_SECONDS} s.")


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    return browser_type_launch_args | {"executable_path": CHROMIUM, "args": ["--no-sandbox"]}


@pytest.fixture
def complaints(page):
    """What the browser's console complains about, such as a breach of the Content-Security-Policy."""
    heard = []
    page.on("console", lambda message: heard.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: heard.append(str(error)))
    return heard


@pytest.fixture
def signed_in_page(page, program):
    page.set_viewport_size(SIZES["desktop"])
    page.goto(f"{program}/sign-in/")
    page.get_by_label("Username").fill("robin")
    page.get_by_label("Password").fill(DEMO_PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    return page
