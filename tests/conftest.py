"""Every test on the database finds the reference data; pages are served without a static manifest."""

import pytest
from django.conf import settings as configured
from django.core.management import call_command

from tests import cast


def pytest_configure():
    configured.STATIC_ROOT.mkdir(parents=True, exist_ok=True)  # WhiteNoise warns on each client without it


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    with django_db_blocker.unblock():
        call_command("load_reference", verbosity=0)


@pytest.fixture(autouse=True)
def _plain_static(settings):
    settings.STORAGES = settings.STORAGES | {
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    }
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def practitioner(db):
    return cast.make_user("practitioner", "robin")


@pytest.fixture
def staff(db):
    return cast.make_user("staff", "sam")


@pytest.fixture
def viewer(db):
    return cast.make_user("viewer", "vera")


@pytest.fixture
def signed_in(client, practitioner):
    client.force_login(practitioner)
    return client
