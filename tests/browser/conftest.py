"""A browser beside the running program with its demo practice."""

from pathlib import Path

import pytest

from tests.browser.program import CHROMIUM, LAUNCH, running_program, sign_in


def pytest_collection_modifyitems(items):
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)
            if CHROMIUM is None:
                item.add_marker(pytest.mark.skip(reason="Chromium is not installed on this machine"))


@pytest.fixture(scope="session")
def program(tmp_path_factory):
    """The address of the running program."""
    with running_program(tmp_path_factory.mktemp("data")) as address:
        yield address


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    return browser_type_launch_args | LAUNCH


@pytest.fixture
def complaints(page):
    """What the browser's console complains about, such as a breach of the Content-Security-Policy."""
    heard = []
    page.on("console", lambda message: heard.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: heard.append(str(error)))
    return heard


@pytest.fixture
def signed_in_page(page, program):
    sign_in(page, program)
    return page
