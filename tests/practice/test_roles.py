"""Who may do what: a practitioner leads, staff record and draft, a viewer reads."""

import pytest
from django.contrib.auth.models import Group, Permission
from django.core.management import call_command

from practice.roles import make_roles
from tests import cast
from tests.practice.pages import OPEN_TO_ALL, every_page

pytestmark = pytest.mark.django_db

LEADING = [
    "recipes.approve_recipeversion", "patients.issue_sheet", "practice.administer",
    "practice.change_practiceprofile", "nutrients.change_limit", "nutrients.add_profile",
    "nutrients.change_profile", "nutrients.change_retention", "nutrients.change_batchyield",
    "nutrients.add_batchyield",
]  # fmt: skip
RECORDING = [
    f"{model.split('.')[0]}.{verb}_{model.split('.')[1]}"
    for verb in ("add", "change")
    for model in ("patients.owner", "patients.patient", "patients.visit", "patients.plan", "recipes.recipe",
                  "recipes.recipeversion")
]  # fmt: skip


def test_a_practitioner_leads(practitioner):
    assert practitioner.has_perms(LEADING + RECORDING)


def test_staff_record_and_draft_but_do_not_lead(staff):
    assert staff.has_perms(RECORDING)
    assert not any(staff.has_perm(permission) for permission in LEADING)


def test_a_viewer_reads_everything_and_changes_nothing(viewer):
    held = {permission.partition(".")[2] for permission in viewer.get_all_permissions()}
    assert held
    assert all(permission.startswith("view_") for permission in held)
    for model in ("recipes.view_recipe", "patients.view_patient", "nutrients.view_food"):
        assert viewer.has_perm(model)


@pytest.mark.parametrize("role", ["viewer", "staff", "practitioner"])
def test_no_role_deletes_or_reaches_accounts(role):
    held = cast.make_user(role).get_all_permissions()
    assert not [permission for permission in held if ".delete_" in permission]
    assert not [permission for permission in held if permission.startswith(("auth.", "admin.", "sessions."))]


def test_roles_are_brought_up_to_date():
    viewer = make_roles()["viewer"]
    viewer.permissions.add(Permission.objects.get(codename="issue_sheet"))
    make_roles()
    assert not viewer.permissions.filter(codename="issue_sheet").exists()


def test_migrating_makes_the_roles_and_brings_them_up_to_date():
    viewer, practitioner = Group.objects.get(name="viewer"), Group.objects.get(name="practitioner")
    practitioner.permissions.clear()
    call_command("migrate", verbosity=0)
    assert practitioner.permissions.filter(codename="issue_sheet").exists()
    assert not viewer.permissions.filter(codename="issue_sheet").exists()


@pytest.mark.parametrize("name", sorted(set(every_page()) - OPEN_TO_ALL))
def test_a_viewer_can_post_to_no_page(client, viewer, name):
    client.force_login(viewer)
    assert client.post(every_page()[name]).status_code in (403, 404, 405)
