"""The energy page: nothing is chosen by itself, what cannot be is told, a choice leads on to a plan."""

import re
from urllib.parse import parse_qs

import pytest
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from patients.energy_methods import Eater, methods_for
from patients.life_stage import stage_on
from patients.models import DietItem, EnergyFactor, Plan
from patients.plan_queries import dog_of, energy_choices
from tests import cast
from tests.patients.dogs import Record
from tests.patients.eaters import ADULT, AT_WORK, TODAY, days, nursing, page, pregnant, puppy, rows, weighed

pytestmark = pytest.mark.django_db


def test_a_day_of_600_kcal_leaves_at_most_60_for_extras(signed_in):
    """Clinician's Brief, obesity management calculation sheet: treats below 10 % of the day."""
    found = signed_in.get(page(weighed(**ADULT), method="by-hand", kcal_per_day="600", reason="x"))
    assert found.context["found"].outcome.extras_kcal == pytest.approx(60)


def test_nothing_is_chosen_and_methods_of_a_puppy_differ_by_up_to_a_factor_of_two(signed_in):
    dog = weighed(**puppy(120, None))
    answer = signed_in.get(page(dog))
    assert "checked" not in "".join(
        re.findall(r'<input type="radio" name="method"[^>]*>', answer.content.decode())
    )
    assert "Nothing is chosen" in answer.content.decode()
    kcals = [choice.kcal for choice in rows(signed_in, dog).values() if choice.kcal and choice.goal == "grow"]
    assert max(kcals) / min(kcals) > 1.8


def test_what_it_eats_at_a_steady_weight_stands_first(signed_in):
    dog = cast.make_patient(**ADULT)
    visit = cast.make_visit(dog, date=days(15), weight_kg=16.0)
    cast.make_visit(dog, kind="recheck", date=days(1), weight_kg=16.0)
    DietItem.objects.create(visit=visit, what="dry food", kcal_per_day=820)
    groups = signed_in.get(page(dog)).context["found"].groups
    assert [(title, rows[0].choice.kcal) for title, rows in groups][0] == ("This dog itself", 820)
    cast.make_visit(dog, kind="weigh_in", date=TODAY, weight_kg=17.0)
    assert not rows(signed_in, dog)["observed"].offered


def test_a_loss_begins_at_rer_of_the_ideal_weight_and_leads_on_to_a_plan(signed_in):
    version = cast.make_recipe(approved_by=cast.make_user("practitioner", "ines"))
    dog = weighed(kg=19.2, bcs=7, **ADULT)  # ideal 16 kg
    answer = signed_in.get(page(dog, goal="lose", aim="10", method="der-weight-loss"))
    found = answer.context["found"]
    assert (found.outcome.kcal, found.outcome.may_go_on) == (560, True)
    assert found.cross_check.kcal == pytest.approx(0.6 * 1.6 * 70 * 19.2**0.75)
    link = re.search(
        rf'href="({reverse("patients:plan-new", args=[dog.pk])}\?[^"]+)"', answer.content.decode()
    )
    form = signed_in.get(link.group(1).replace("&amp;", "&")).context["form"]
    assert form["goal"].value() == "lose"
    assert form["energy"].value() == "der-weight-loss"
    assert form.initial["target_kg"] == pytest.approx(16)
    assert form["kcal_per_day"].value() is None
    assert version in form.fields["recipe_version"].queryset
    assert [choice.goal for choice in form.methods[:3]] == ["lose", "lose", "hold"]


def test_an_intake_at_steady_weight_is_not_told_as_published(signed_in):
    dog = weighed(**ADULT)
    assert signed_in.get(page(dog)).context["found"].range_label == "Published for this goal"
    cast.make_visit(dog, weight_kg=16.0, date=days(40))
    DietItem.objects.create(visit=dog.visits.latest("date"), what="stew", kcal_per_day=500)
    found = signed_in.get(page(dog)).context["found"]
    assert (found.range_label, found.outcome.span[0]) == ("Published for this goal, or observed", 500)


@pytest.mark.parametrize(
    "asked", [{}, {"goal": "", "target_kg": "x", "kcal_per_day": "-4"}, {"target_kg": "9.5"}]
)
@pytest.mark.parametrize(("particulars", "goal"), [(ADULT, "hold"), (puppy(120, 30.0), "grow")])
def test_what_is_not_handed_over_starts_as_in_any_new_plan(signed_in, particulars, goal, asked):
    dog = weighed(kg=10.0, **particulars)
    form = signed_in.get(reverse("patients:plan-new", args=[dog.pk]), asked).context["form"]
    start = {name: form[name].value() for name in ("goal", "recipe_share", "energy", "kcal_per_day")}
    assert start == {"goal": goal, "recipe_share": 100, "energy": None, "kcal_per_day": None}
    assert form.initial["target_kg"] == (9.5 if asked.get("target_kg") == "9.5" else 10.0)
    assert form.initial["profile"].growth == (goal == "grow")


def test_a_number_outside_asks_why_and_its_reason_is_kept_with_the_plan(signed_in):
    version = cast.make_recipe(approved_by=cast.make_user("practitioner", "ines"))
    dog = weighed(**ADULT)
    asked = {"goal": "hold", "aim": "now", "method": "by-hand", "kcal_per_day": "600"}
    answer = signed_in.get(page(dog, **asked))
    assert not answer.context["found"].outcome.may_go_on
    assert "say why" in answer.content.decode()
    assert "Make a plan with" not in answer.content.decode()
    found = signed_in.get(page(dog, **asked, reason="held on it for years")).context["found"]
    handed = {name: values[0] for name, values in parse_qs(found.plan_query).items()}
    assert handed == {"goal": "hold", "target_kg": "16", "energy": "by-hand", "kcal_per_day": "600",
                      "energy_reason": "held on it for years"}  # fmt: skip
    typed = handed | {
        "recipe_version": version.pk, "target_kg_unit": "kg", "recipe_share": "100", "meals_per_day": "2",
        "batch_days": "3", "serve": "cold", "profile": version.recipe.profile_id,
    }  # fmt: skip
    new = reverse("patients:plan-new", args=[dog.pk])
    refused = signed_in.post(new, typed | {"energy_reason": " "})
    assert "say why" in refused.context["form"].errors["energy_reason"][0]
    assert signed_in.post(new, typed).status_code == 302
    assert Plan.objects.get().energy_reason == "held on it for years"


def test_a_number_within_a_methods_range_carries_the_method_along(signed_in):
    found = signed_in.get(page(weighed(**ADULT), method="der-inactive", kcal_per_day="700")).context["found"]
    assert parse_qs(found.plan_query)["energy_reason"] == ["by inactive or obese-prone adult"]


def test_a_number_that_is_not_the_chosen_methods_own_is_not_told_as_its(signed_in):
    asked = page(weighed(**ADULT), method="der-neutered-adult", kcal_per_day="850")
    found = signed_in.get(asked).context["found"]
    assert found.outcome.label == "set by hand"
    assert "energy_reason" not in parse_qs(found.plan_query)


def test_below_four_fifths_of_rer_is_refused_until_the_veterinarian_agrees(signed_in):
    dog = weighed(kg=19.2, bcs=7, **ADULT)
    asked = {"goal": "lose", "aim": "10", "method": "by-hand", "kcal_per_day": "447", "reason": "x"}
    answer = signed_in.get(page(dog, **asked))  # 0.8 x 560 = 448
    assert "sign-off" in answer.content.decode()
    assert not answer.context["found"].outcome.may_go_on


def test_what_the_food_must_hold_more_of_is_told_in_words(signed_in):
    dog = weighed(kg=19.2, bcs=7, **ADULT)
    words = signed_in.get(page(dog, goal="lose", aim="10", method="der-weight-loss")).content.decode()
    # NRC 2006 zinc: 2.0 mg per kg^0.75 x 8 = 16 mg a day of 560 kcal: 28.6 mg per 1000 kcal; AAFCO asks 20.
    assert re.search(r"<strong>Zinc</strong>: 28\.6\d* mg instead of 20\.0", words)
    bitch = weighed(name="Tansy", **pregnant(6))
    assert "never raised" in signed_in.get(page(bitch, method="gestation-nrc-5")).content.decode()


def test_a_fragment_for_htmx_and_the_page_without(signed_in):
    dog = weighed(**ADULT)
    fragment = signed_in.get(page(dog, goal="hold"), headers={"HX-Request": "true"}).content.decode()
    assert "<html" not in fragment
    assert 'id="energy-methods"' in fragment
    assert 'id="energy-outcome" aria-live="polite" hx-swap-oob="true"' in fragment
    assert "<html" in signed_in.get(page(dog)).content.decode()


@pytest.mark.parametrize(
    "asked",
    [
        {"aim": "typed"}, {"aim": "typed", "target_kg": "0", "target_kg_unit": "kg"}, {"kcal_per_day": "abc"},
        {"kcal_per_day": "-5"}, {"goal": "fly"}, {"aim": "99"}, {"kcal_per_day": "1e308"}, {"method": "<b>"},
        {"reason": "x" * 400, "method": "rer"}, {"goal": "lose", "aim": "now", "method": "der-weight-loss"},
    ],
)  # fmt: skip
def test_what_cannot_be_answers_with_the_page_and_no_plan(signed_in, asked):
    answer = signed_in.get(page(weighed(bcs=7, **ADULT), **asked))
    assert answer.status_code == 200
    assert "Make a plan with" not in answer.content.decode()


def test_a_dog_never_weighed_and_a_puppy_above_its_expected_weight(signed_in):
    assert "Record the first visit" in signed_in.get(page(cast.make_patient())).content.decode()
    outgrown = weighed(kg=20.0, name="Otto", **puppy(200, 15.0))
    assert "more than its expected adult weight" in signed_in.get(page(outgrown)).content.decode()


def test_who_may_see_it_and_go_on(client, viewer):
    client.force_login(viewer)
    answer = client.get(page(weighed(**ADULT), method="der-neutered-adult"))
    assert answer.status_code == 200
    assert "Make a plan with" not in answer.content.decode()
    assert client.post(page(weighed(name="Rue"))).status_code == 405


def test_every_method_offered_on_the_page_is_offered_by_the_plans_form():
    for particulars in (ADULT, AT_WORK, pregnant(5), nursing(3, 4), puppy(120, None), puppy(200, 40.0)):
        dog = weighed(**particulars)
        facts = dog_of(dog, TODAY)
        everything = energy_choices(dog, facts, 16.0, for_comparison=True)
        assert energy_choices(dog, facts, 16.0) == [choice for choice in everything if choice.offered]


class EveryDogHasMethods(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.factors = list(EnergyFactor.objects.all())

    @given(
        st.dates(days(20 * 365), TODAY), st.none() | st.floats(1, 100), st.floats(0.05, 1),
        st.none() | st.integers(0, 70), st.none() | st.integers(0, 70), st.none() | st.integers(0, 12),
    )  # fmt: skip
    @settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow], deadline=None)
    def test_every_dog_finds_a_number_to_choose(self, born, adult_kg, share, mated, whelped, litter):
        record = Record(
            born=born, expected_adult_kg=adult_kg, litter=litter,
            mated_on=None if mated is None else days(mated),
            whelped_on=None if whelped is None else days(whelped),
        )  # fmt: skip
        stage, kg = stage_on(record, TODAY), max((adult_kg or 20) * share, 0.3)
        eater = Eater(kg, kg, stage=stage.energy_stage, expected_adult_kg=adult_kg, week=stage.week,
                      puppies=stage.puppies)  # fmt: skip
        choices = methods_for(self.factors, eater)
        assert any(choice.offered and choice.span for choice in choices)
        assert all(choice.span is None or choice.span[0] > 0 for choice in choices)
