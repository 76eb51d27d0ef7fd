"""The pages of a plan: what is wrong stands beside its field, nothing typed is lost or written early."""

import re

import pytest
from django.urls import reverse

from nutrients.models import Food, Profile
from patients.energy import ideal_weight, resting_energy
from patients.models import Plan
from patients.services import issue_sheet
from recipes.models import Ingredient, Recipe
from tests import cast
from tests.patients.feeding import TURKEY, WHOLE_RECIPE, make_practice, make_strong_drops, make_whole_plan

pytestmark = pytest.mark.django_db


@pytest.fixture
def dog(practitioner):
    patient = cast.make_patient()
    cast.make_visit(patient, bcs=7)
    return patient


@pytest.fixture
def version(practitioner):
    return cast.make_recipe(
        "Turkey and barley", amounts=WHOLE_RECIPE, approved_by=practitioner, added_water_g=650
    )


def typed(version, **changes) -> dict:
    sound = {
        "recipe_version": version.pk, "goal": "hold", "target_kg": "18.4", "target_kg_unit": "kg",
        "energy": "by-hand", "kcal_per_day": "990", "extras_kcal": "", "recipe_share": "100",
        "meals_per_day": "2", "batch_days": "4", "serve": "rewarmed",
        "profile": Profile.objects.get(key="aafco-adult").pk,
    }  # fmt: skip
    return {name: value for name, value in (sound | changes).items() if value is not None}


def new(dog) -> str:
    return reverse("patients:plan-new", args=[dog.pk])


def preview(dog) -> str:
    return reverse("patients:plan-preview", args=[dog.pk])


def refused(client, dog, version, field: str, **changes) -> str:
    """The message beside the field; the answer is 200 and nothing is written."""
    answer = client.post(new(dog), typed(version, **changes))
    assert answer.status_code == 200
    assert not Plan.objects.exists()
    form = answer.context["form"]
    assert field in form.errors, form.errors
    assert f'id="id_{field}_error"' in answer.content.decode()
    for name, value in changes.items():
        if isinstance(value, str) and value and name not in ("goal", "energy", "serve"):
            assert f'value="{value}"' in answer.content.decode()
    return " ".join(form.errors[field])


def test_the_form_shows_methods_weights_and_recipes(signed_in, dog, version):
    page = signed_in.get(new(dog)).content.decode()
    assert "neutered adult" in page
    assert "18.4 kg, the weight now" in page
    assert f"{ideal_weight(18.4, 7, 10):.1f} kg, ideal at 10 %" in page  # 18.4 / 1.2 = 15.3
    assert f"{ideal_weight(18.4, 7, 15):.1f} kg, ideal at 15 %" in page  # 18.4 / 1.3 = 14.2
    assert "Turkey and barley, version 1" in page


def test_no_energy_is_chosen_for_anybody(signed_in, dog, version):
    form = signed_in.get(new(dog)).context["form"]
    assert form["energy"].value() is None
    assert form["kcal_per_day"].value() is None


def test_a_plan_is_saved(signed_in, dog, version):
    answer = signed_in.post(new(dog), typed(version, recipe_share="80", extras_kcal="50"))
    plan = Plan.objects.get()
    assert answer.url == plan.get_absolute_url()
    assert (plan.patient, plan.kcal_per_day, plan.recipe_share, plan.extras_kcal) == (dog, 990, 0.8, 50)
    assert (plan.method, plan.state) == ("set by hand", Plan.State.DRAFT)


def test_a_method_brings_its_own_number(signed_in, dog, version):
    chosen = {"energy": "der-neutered-adult", "kcal_per_day": ""}
    signed_in.post(new(dog), typed(version, **chosen))
    plan = Plan.objects.get()
    assert plan.kcal_per_day == round(1.6 * resting_energy(18.4))
    assert (plan.method, plan.factor) == ("neutered adult", 1.6)


def test_weight_loss_is_worked_out_at_the_target_weight(signed_in, dog, version):
    chosen = {"energy": "der-weight-loss", "kcal_per_day": "", "goal": "lose", "target_kg": "16"}
    signed_in.post(new(dog), typed(version, **chosen))
    assert Plan.objects.get().kcal_per_day == 560  # 70 x 16^0.75 = 70 x 8


def test_a_method_and_another_number_contradict_each_other(signed_in, dog, version):
    message = refused(
        signed_in, dog, version, "kcal_per_day", energy="der-neutered-adult", kcal_per_day="700"
    )
    assert "by hand" in message


def test_a_method_of_another_life_stage_is_refused(signed_in, dog, version):
    refused(signed_in, dog, version, "energy", energy="der-puppy-to-4-months", kcal_per_day="")


def test_pounds_are_taken(signed_in, dog, version):
    signed_in.post(new(dog), typed(version, target_kg="40", target_kg_unit="lb"))
    assert Plan.objects.get().target_kg == pytest.approx(18.144, abs=0.001)


@pytest.mark.parametrize(
    ("field", "changes"),
    [
        ("recipe_share", {"recipe_share": "101"}),
        ("recipe_share", {"recipe_share": "0"}),
        ("extras_kcal", {"extras_kcal": "100"}),
        ("meals_per_day", {"meals_per_day": "7"}),
        ("meals_per_day", {"meals_per_day": "0"}),
        ("batch_days", {"batch_days": "32"}),
        ("batch_days", {"batch_days": "two"}),
        ("frozen", {"batch_days": "7"}),
        ("target_kg", {"target_kg": "130"}),
        ("target_kg", {"target_kg": "4"}),
        ("kcal_per_day", {"kcal_per_day": "90000"}),
        ("kcal_per_day", {"kcal_per_day": "300"}),
        ("kcal_per_day", {"kcal_per_day": "abc"}),
        ("kcal_per_day", {"kcal_per_day": ""}),
    ],
)
def test_a_wrong_number_is_told_beside_its_field(signed_in, dog, version, field, changes):
    assert refused(signed_in, dog, version, field, **changes)


def test_weight_loss_below_four_fifths_of_resting_energy_is_refused(signed_in, dog, version):
    losing = {"goal": "lose", "target_kg": "16"}
    assert "448" in refused(signed_in, dog, version, "kcal_per_day", kcal_per_day="447", **losing)


def test_an_avoided_food_is_named_with_its_reason(signed_in, dog, version):
    dog.avoids.create(word="turkey", reason="itches")
    message = refused(signed_in, dog, version, "recipe_version")
    assert TURKEY in message
    assert "itches" in message


def test_recipes_that_do_not_fit_say_why(signed_in, dog, version):
    dog.avoids.create(word="turkey", reason="itches")
    page = signed_in.get(new(dog)).content.decode()
    assert re.search(r'<optgroup label="Do not fit this dog">.*itches.*</optgroup>', page, re.DOTALL)


def test_a_recipe_for_adults_does_not_fit_a_puppy(signed_in, version):
    puppy = cast.make_patient(name="Otto", born=cast.timezone.localdate() - cast.timedelta(days=150))
    cast.make_visit(puppy, weight_kg=19.6)
    page = signed_in.get(new(puppy)).content.decode()
    assert "Turkey and barley: meant for adult maintenance" in page
    answer = signed_in.post(new(puppy), typed(version, target_kg="19.6", goal="grow", kcal_per_day="1500"))
    assert "growth profile" in " ".join(answer.context["form"].errors["profile"])


def test_drafts_and_retired_recipes_are_not_offered(signed_in, dog, version):
    cast.make_recipe("A draft")
    Recipe.objects.filter(title="Turkey and barley").update(state=Recipe.State.RETIRED)
    form = signed_in.get(new(dog)).context["form"]
    assert form.fields["recipe_version"].choices == [("", "Choose a recipe")]


def test_an_empty_recipe_is_refused(signed_in, dog, version):
    version.ingredients.all().delete()
    assert "empty" in refused(signed_in, dog, version, "recipe_version")


def test_a_coarse_dose_step_names_the_product(signed_in, dog, version):
    drops = make_strong_drops(1500)
    cast.slip_in(Ingredient, version=version, food=drops, grams=0.006, when="cooled_batch")
    message = refused(signed_in, dog, version, "recipe_version", serve="cold")
    assert "Drops, strong" in message
    assert "weaker product" in message


def test_work_out_shows_the_consequence_and_writes_nothing(signed_in, dog, version):
    answer = signed_in.post(new(dog), typed(version) | {"work_out": "1"})
    assert answer.status_code == 200
    assert answer.context["found"].batch.meal_g > 0
    assert not Plan.objects.exists()


def test_the_preview_is_a_fragment_and_writes_nothing(signed_in, dog, version):
    answer = signed_in.post(preview(dog), typed(version), headers={"HX-Request": "true"})
    page = answer.content.decode()
    assert "patients/_plan_preview.html" in [template.name for template in answer.templates]
    assert "<html" not in page
    assert "990 kcal a day, 2 meals of" in page
    assert 'id="plan-methods" hx-swap-oob="true"' in page
    assert not Plan.objects.exists()


def test_the_preview_tells_what_is_wrong_beside_the_field(signed_in, dog, version):
    page = signed_in.post(preview(dog), typed(version, extras_kcal="100")).content.decode()
    assert re.search(r'id="id_extras_kcal_error" hx-swap-oob="true">[^<]*10 % of the day', page)
    assert re.search(r'id="id_batch_days_error" hx-swap-oob="true"></p>', page)


def test_the_preview_of_an_empty_form_does_not_fail(signed_in, dog):
    assert signed_in.post(preview(dog), {}).status_code == 200


def test_the_preview_is_asked_by_post(signed_in, dog):
    assert signed_in.get(preview(dog)).status_code == 405


def test_a_dog_without_a_visit_can_be_planned_for(signed_in, version):
    unweighed = cast.make_patient()
    assert signed_in.get(new(unweighed)).status_code == 200
    signed_in.post(new(unweighed), typed(version))
    assert Plan.objects.exists()


def test_a_draft_is_changed_in_place(signed_in, practitioner):
    plan = make_whole_plan(practitioner)
    url = reverse("patients:plan-edit", args=[plan.pk])
    assert 'value="990' in signed_in.get(url).content.decode()
    signed_in.post(url, typed(plan.recipe_version, kcal_per_day="1000"))
    assert Plan.objects.get().kcal_per_day == 1000


def test_a_chosen_method_is_chosen_again_when_a_plan_is_opened(signed_in, practitioner):
    kcal = round(1.6 * resting_energy(18.4))
    plan = make_whole_plan(practitioner, method="neutered adult", kcal_per_day=kcal)
    form = signed_in.get(reverse("patients:plan-edit", args=[plan.pk])).context["form"]
    assert form["energy"].value() == "der-neutered-adult"
    assert form["kcal_per_day"].value() is None


def test_an_issued_plan_is_followed_by_a_new_one(signed_in, practitioner):
    plan = make_whole_plan(practitioner)
    issue_sheet(plan=plan, by=practitioner, practice=make_practice())
    url = reverse("patients:plan-edit", args=[plan.pk])
    signed_in.post(url, typed(plan.recipe_version, kcal_per_day="1000"))
    follower = Plan.objects.exclude(pk=plan.pk).get()
    assert (follower.supersedes, follower.state, follower.kcal_per_day) == (plan, Plan.State.DRAFT, 1000)
    assert Plan.objects.get(pk=plan.pk).kcal_per_day == 990


def test_a_plans_own_older_version_stays_on_offer(signed_in, practitioner):
    plan = make_whole_plan(practitioner)
    newer = plan.recipe_version.recipe.versions.create(
        number=2, approved_by=practitioner, approved_at=cast.timezone.now()
    )
    cast.slip_in(Ingredient, version=newer, food=Food.objects.get(name=TURKEY), grams=500)
    url = reverse("patients:plan-edit", args=[plan.pk])
    assert "no longer the approved one" in signed_in.get(url).content.decode()
    assert signed_in.post(url, typed(plan.recipe_version)).status_code == 302


def test_the_page_of_a_plan_says_it_all(signed_in, practitioner):
    plan = make_whole_plan(practitioner)
    page = signed_in.get(plan.get_absolute_url()).content.decode()
    for words in ("Juniper", "990 kcal", TURKEY, "Calcium carbonate powder", "Issue take-home sheet"):
        assert words in page


def test_the_page_of_a_plan_that_no_longer_works_says_why(signed_in, practitioner):
    plan = make_whole_plan(practitioner)
    plan.patient.avoids.create(word="turkey")
    page = signed_in.get(plan.get_absolute_url()).content.decode()
    assert "No sheet can be issued yet" in page
    assert "must avoid: turkey" in page


def test_who_may_do_what(client, staff, viewer, practitioner):
    plan = make_whole_plan(practitioner)
    edit = reverse("patients:plan-edit", args=[plan.pk])
    client.force_login(viewer)
    assert client.get(plan.get_absolute_url()).status_code == 200
    assert "Change the plan" not in client.get(plan.get_absolute_url()).content.decode()
    assert client.get(edit).status_code == 403
    assert client.get(new(plan.patient)).status_code == 403
    assert client.post(preview(plan.patient), {}).status_code == 403
    client.force_login(staff)
    assert client.get(edit).status_code == 200
    assert "Issue take-home sheet" not in client.get(plan.get_absolute_url()).content.decode()


@pytest.mark.parametrize(
    ("kitchen", "start"),
    [
        ({}, {"scale": "", "serve": "rewarmed", "vessel_litres_0": ""}),
        ({"weighs_in_grams": True, "likes_food": "cold"}, {"scale": "1", "serve": "cold"}),
        ({"weighs_in_grams": False, "likes_food": "either"}, {"scale": "none", "serve": "rewarmed"}),
    ],
)
def test_a_new_plan_starts_from_the_dogs_kitchen(signed_in, dog, version, kitchen, start):
    type(dog).objects.filter(pk=dog.pk).update(**kitchen)
    form = signed_in.get(new(dog)).context["form"]
    assert {name: form[name.removesuffix("_0")].value() or "" for name in start} == start
