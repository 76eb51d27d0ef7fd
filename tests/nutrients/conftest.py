"""Who enters foods."""

import pytest


@pytest.fixture
def clerk(client, staff):
    """A browser in which one of the staff is signed in."""
    client.force_login(staff)
    return client
