"""People who may sign in, from the command line."""

import getpass

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _typed(monkeypatch):
    monkeypatch.setattr(getpass, "getpass", lambda prompt: "thyme-and-barley-9")


def test_a_person_signs_in_with_the_role(client):
    call_command("add_person", "wren", "staff", "--name", "Wren Tallow", verbosity=0)
    wren = User.objects.get(username="wren")
    assert wren.get_full_name() == "Wren Tallow"
    assert [group.name for group in wren.groups.all()] == ["staff"]
    assert not wren.is_superuser
    page = client.post("/sign-in/", {"username": "wren", "password": "thyme-and-barley-9"})
    assert page.status_code == 302


def test_a_name_is_given_once():
    call_command("add_person", "wren", "staff")
    with pytest.raises(CommandError, match="already"):
        call_command("add_person", "wren", "viewer")


def test_a_weak_password_is_refused(monkeypatch):
    monkeypatch.setattr(getpass, "getpass", lambda prompt: "1234")
    with pytest.raises(CommandError, match="short"):
        call_command("add_person", "wren", "staff")
    assert not User.objects.filter(username="wren").exists()
