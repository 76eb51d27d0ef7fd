"""What is looked at before a sheet is issued, and where it is mended."""

from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import pytest
from django.urls import reverse

from nutrients.models import Food
from patients.agreements import Agreement
from patients.dog import Dog
from patients.issue_checks import (
    ASK,
    GOOD,
    STOP,
    UNKNOWN,
    Check,
    dates_check,
    doses_check,
    portions_check,
    pot_check,
)
from patients.life_stage import ADULT
from patients.models import Avoid
from patients.portions import as_weighed
from patients.services import gate_of, work_out
from tests.patients.feeding import POWDER, TURKEY, make_whole_plan

TODAY = date(2026, 11, 25)
DOG = Dog("Juniper", "hound cross", ADULT, weight_kg=18.4, weighed_on=TODAY - timedelta(days=10))


def state_of(checks, subject: str) -> tuple[str, tuple[str, ...]]:
    [check] = [check for check in checks if check.subject == subject]
    return check.state, check.sentences


def test_the_worst_of_a_check_is_its_state():
    check = Check("The pot", "It fits.", "plan")
    assert (check.state, check.sentences) == (GOOD, ("It fits.",))
    assert replace(check, told=("Nobody knows.",)).state == UNKNOWN
    assert replace(check, told=("Nobody knows.",), to_acknowledge=("Open.",)).state == ASK
    assert replace(check, sign_off_for=("heart",)).state == ASK
    assert replace(check, sign_off_for=("heart",), refusals=("Never.",)).state == STOP


def test_everything_stands_on_the_plans_page_in_order(signed_in, practitioner):
    plan = make_whole_plan(practitioner, scale="0.01", vessel_litres=6.0)
    checks = gate_of(plan, work_out(plan)).checks
    assert [check.subject for check in checks] == [
        "The dog", "The plan", "The recipe", "Foods to avoid", "Cautions", "Nutrients for this dog",
        "The veterinarian's numbers", "Doses", "The pot", "Portions", "Dates",
    ]  # fmt: skip
    assert {check.state for check in checks} == {GOOD}
    html = signed_in.get(plan.get_absolute_url()).content.decode()
    assert [check.subject for check in checks if f"<strong>{check.subject}</strong>" not in html] == [
        "The veterinarian's numbers"  # its apostrophe is written otherwise
    ]
    assert "stops the sheet" not in html


def test_what_stops_a_sheet_leads_to_its_mend(signed_in, practitioner):
    plan = make_whole_plan(practitioner)
    Avoid.objects.create(patient=plan.patient, food=Food.objects.get(name=TURKEY), reason="itching")
    recipe = plan.recipe_version.recipe
    type(plan.recipe_version).objects.filter(pk=plan.recipe_version_id).update(approved_at=None)
    type(recipe).objects.filter(pk=recipe.pk).update(state="draft")
    html = signed_in.get(plan.get_absolute_url()).content.decode()
    assert "2 points above stop it" in html
    assert f'<a href="{recipe.get_absolute_url()}">Open the recipe' in html
    assert '<a href="#substitutions">See the substitutions' in html
    plan = type(plan).objects.get(pk=plan.pk)
    state, [sentence] = state_of(gate_of(plan, work_out(plan)).checks, "Foods to avoid")
    assert (state, "itching" in sentence) == (STOP, True)


@pytest.mark.parametrize(
    ("mend", "part"),
    [("The pot", "Change the plan"), ("Doses", "Change the plan")],
)
def test_what_nobody_has_told_stops_nothing(signed_in, practitioner, mend, part):
    plan = make_whole_plan(practitioner)
    assert state_of(gate_of(plan, work_out(plan)).checks, mend)[0] == UNKNOWN
    html = signed_in.get(plan.get_absolute_url()).content.decode()
    assert f'<a href="{reverse("patients:plan-edit", args=[plan.pk])}">{part}' in html
    assert "Issue take-home sheet" in html


def powders(scale: str, *doses, premix=()):
    """doses: (food, g in the batch or None, g in a meal or None)."""
    made = [
        SimpleNamespace(food=food, batch_amount=batch, meal_amount=meal, dose_unit="g")
        for food, batch, meal in doses
    ]
    tablet = SimpleNamespace(food="Tablet", batch_amount=0.25, meal_amount=None, dose_unit="tablet")
    mixed = SimpleNamespace(weighings=[SimpleNamespace(food=food) for food in premix]) if premix else None
    return SimpleNamespace(
        batch=SimpleNamespace(doses=[*made, tablet]), plan=SimpleNamespace(scale=scale), premix=mixed
    )


@pytest.mark.parametrize(
    ("workings", "state", "names"),
    [
        (powders(""), GOOD, ""),
        (powders("none"), GOOD, ""),
        (powders("", ("Calcium", 6.0, None)), UNKNOWN, "6 g"),
        # half the step is 5 % of 10 g on whole grams, of 1 g on tenths: what is smaller is not weighed so
        (powders("1", ("Calcium", 10.0, None)), GOOD, ""),
        (powders("1", ("Calcium", 9.9, None)), ASK, "Calcium, 9.9 g"),
        (powders("0.1", ("Salt", 40.0, 1.0)), GOOD, ""),
        (powders("0.1", ("Salt", 40.0, 0.9)), ASK, "Salt, 0.9 g"),
        (powders("0.1", ("Salt", 0.4, None), premix=["Salt"]), GOOD, ""),
        (powders("none", ("Calcium", 50.0, None)), ASK, "handed out weighed"),
    ],
)
def test_can_the_owner_measure_the_doses(workings, state, names):
    check = doses_check(workings)
    assert check.state == state
    assert names in check.sentences[0]


def test_does_the_batch_fit_the_pot():
    def filled(**filling):
        return SimpleNamespace(filling=SimpleNamespace(vessel_litres=6.0, **filling) if filling else None)

    assert pot_check(filled()).state == UNKNOWN
    assert pot_check(filled(divided=False)).sentences == ("The batch fits a pot of 6 litres.",)
    assert pot_check(filled(divided=True, pots=2)).sentences == ("The batch fits 2 pots of 6 litres.",)


def portions(meal_g: float, meals: int, days: int, split=()):
    batch = SimpleNamespace(
        meals=lambda shares: [(share, meal_g * meals * share / 100) for share in shares],
        meal_g=meal_g, scaled=SimpleNamespace(days=days),
        analysis=SimpleNamespace(cooked_g=meal_g * meals * days),
    )  # fmt: skip
    return portions_check(
        SimpleNamespace(batch=batch, plan=SimpleNamespace(meal_split=split, meals_per_day=meals))
    )


@pytest.mark.parametrize(
    ("meal_g", "meals", "split", "state"),
    [
        (327.4, 2, (), GOOD),  # 327: 0.1 % less
        (50.4, 3, (), GOOD),  # 50: 0.8 % less
        (12.44, 4, (), GOOD),  # 12.4: 0.3 % less
        (4.04, 6, (), GOOD),  # 4.0: 1.0 % less
        (1.74, 12, (), STOP),  # 1.7: 2.3 % less
        (100.0, 2, (97, 3), GOOD),
    ],
)
def test_do_the_meals_add_up_to_the_batch(meal_g, meals, split, state):
    assert portions(meal_g, meals, 4, split).state == state


@pytest.mark.parametrize(
    ("grams", "shown"), [(327.4, 327), (50.0, 50), (49.96, 50.0), (49.94, 49.9), (8.44, 8.4)]
)
def test_a_portion_as_a_kitchen_scale_shows_it(grams, shown):
    assert as_weighed(grams) == shown


def test_a_weight_older_than_the_sheet_may_become_is_asked_about():
    expires = TODAY + timedelta(days=28)
    assert (
        dates_check(replace(DOG, weighed_on=TODAY - timedelta(days=28)), TODAY, expires, None).state == GOOD
    )
    old = dates_check(replace(DOG, weighed_on=TODAY - timedelta(days=29)), TODAY, expires, None)
    assert (old.state, "29 days old" in old.sentences[0]) == (ASK, True)


def test_a_re_check_after_the_end_and_an_old_agreement_are_told():
    expires = TODAY + timedelta(days=14)
    late = dates_check(DOG, TODAY, expires, expires + timedelta(days=1))
    assert (late.state, "comes after the sheet ends" in late.sentences[0]) == (UNKNOWN, True)
    agreed = Agreement("heart disease", "Dr Elm", "Elm Row", date(2025, 1, 1), "yes", is_old=True)
    [told] = dates_check(replace(DOG, agreements=(agreed,)), TODAY, expires, None).sentences
    assert told == "Agreed more than a year ago: heart disease. Ask the veterinarian again."


def test_what_is_handed_out_weighed_is_accepted_and_stands_on_the_sheet(practitioner):
    plan = make_whole_plan(practitioner, scale="none")
    conditions = gate_of(plan, work_out(plan))
    assert any(f"{POWDER}, " in sentence for sentence in conditions.to_acknowledge)
    assert conditions.needs_tick
