"""Plans that use an older approved version: on the recipe's page, the plan's page and Today."""

import pytest
from django.urls import reverse

from patients.models import Plan
from patients.newer_versions import in_plans, plans_behind
from recipes import services
from recipes.models import Ingredient, RecipeVersion
from tests import cast
from tests.patients.feeding import WHOLE_RECIPE, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db


def next_version(version, by, approved=True):
    """The same once more, approved or a draft."""
    made = services.save_version(
        recipe=version.recipe,
        particulars={"method": version.method, "added_water_g": 650, "note": "again"},
        ingredients=[Ingredient(food=x.food, grams=x.grams, when=x.when) for x in version.ingredients.all()],
        kitchen_steps=[],
        author=by,
    )
    if approved:
        services.send_to_review(recipe=version.recipe, by=by)
        services.approve_version(version=made, by=by, seen=services.fingerprint(made))
    return RecipeVersion.objects.get(pk=made.pk)


@pytest.fixture
def plan(practitioner):
    return make_whole_plan(practitioner, state=Plan.State.ISSUED)


def behind():
    return [(found.patient.name, found.newest_number) for found in plans_behind()]


def test_a_plan_falls_behind_once_the_next_version_is_approved(plan, practitioner):
    next_version(plan.recipe_version, practitioner, approved=False)
    assert behind() == []
    services.send_to_review(recipe=plan.recipe_version.recipe, by=practitioner)
    latest = plan.recipe_version.recipe.latest()
    services.approve_version(version=latest, by=practitioner, seen=services.fingerprint(latest))
    assert behind() == [("Juniper", 2)]


@pytest.mark.parametrize(("state", "told"), [("draft", True), ("issued", True), ("ended", False)])
def test_drafts_and_issued_plans_count(plan, practitioner, state, told):
    next_version(plan.recipe_version, practitioner)
    Plan.objects.update(state=state)
    assert bool(behind()) == told


def test_of_a_retired_recipe_there_is_nothing_newer_to_go_to(plan, practitioner):
    next_version(plan.recipe_version, practitioner)
    services.retire(recipe=plan.recipe_version.recipe, by=practitioner)
    assert behind() == []


def test_a_plan_with_the_newest_is_not_behind(plan, practitioner):
    newest = next_version(plan.recipe_version, practitioner)
    Plan.objects.update(recipe_version=newest)
    assert behind() == []


def test_another_recipe_has_its_own_versions(plan, practitioner):
    other = cast.make_recipe("Turkey again", amounts=WHOLE_RECIPE, approved_by=practitioner)
    next_version(other, practitioner)
    assert behind() == []
    assert in_plans(other.recipe) == []


def test_the_recipes_page_lists_them(signed_in, plan, practitioner):
    next_version(plan.recipe_version, practitioner)
    page = signed_in.get(plan.recipe_version.recipe.get_absolute_url()).content.decode()
    assert "Plans that use an older version" in page
    assert "Turkey and barley, version 1, issued" in page
    assert "Make the next plan with version 2" in page


def test_the_plans_page_and_today_say_it(signed_in, plan, practitioner):
    assert "newer-version" not in signed_in.get(plan.get_absolute_url()).content.decode()
    newest = next_version(plan.recipe_version, practitioner)
    link = f"{reverse('patients:plan-edit', args=[plan.pk])}?recipe_version={newest.pk}"
    for url in (plan.get_absolute_url(), reverse("practice:today")):
        page = signed_in.get(url).content.decode()
        assert "ewer version exists" in page
        assert link in page


def test_the_link_opens_the_next_plan_with_the_newest_version(signed_in, plan, practitioner):
    newest = next_version(plan.recipe_version, practitioner)
    form = signed_in.get(in_plans(newest.recipe)[0].next_url).context["form"]
    assert form.instance.pk is None
    assert form["recipe_version"].value() == newest.pk
    assert Plan.objects.get().recipe_version == plan.recipe_version


@pytest.mark.parametrize("asked", ["0", "x", "99999", "-1"])
def test_another_number_opens_the_plan_as_it_is(signed_in, plan, asked):
    url = reverse("patients:plan-edit", args=[plan.pk])
    form = signed_in.get(url, {"recipe_version": asked}).context["form"]
    assert form["recipe_version"].value() == plan.recipe_version_id


def test_once_the_next_plan_is_in_draft_the_link_leads_there(signed_in, plan, practitioner):
    newest = next_version(plan.recipe_version, practitioner)
    follower = cast.make_plan(plan.patient, newest, supersedes=plan)
    [found] = in_plans(newest.recipe)
    assert found.next_url == follower.get_absolute_url()
    assert "is in draft" in found.next_label


def test_a_viewer_reads_it_and_is_offered_nothing(client, viewer, plan, practitioner):
    make_practice()
    next_version(plan.recipe_version, practitioner)
    client.force_login(viewer)
    page = client.get(plan.get_absolute_url()).content.decode()
    assert "A newer version exists" in page
    assert "Make the next plan" not in page
