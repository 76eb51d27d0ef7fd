"""Two dogs, one pot. Worked out by another route: each dog's share by its energy."""

import io

import pypdf
import pytest
from django.urls import reverse

from patients.models import Plan
from patients.pot_queries import pot_of, those_of_one_pot
from patients.services import work_out
from tests import cast
from tests.patients.feeding import POWDER, TURKEY, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db


@pytest.fixture
def plans(practitioner) -> list[Plan]:
    first = make_whole_plan(practitioner, kcal_per_day=900)
    second = cast.make_patient(first.patient.owner, name="Sorrel")
    cast.make_visit(second, weight_kg=9.0)
    other = cast.make_plan(second, first.recipe_version, kcal_per_day=450, target_kg=9.0, meals_per_day=3)
    return [first, other]


def test_the_pot_is_as_large_as_both_and_the_portions_go_by_energy(plans):
    pot = pot_of(plans)
    one, two = pot.shares
    assert (one.share, two.share) == (pytest.approx(2 / 3), pytest.approx(1 / 3))
    assert one.pot_g + two.pot_g == pytest.approx(pot.cooked_g)
    assert one.meal_g * 2 * pot.days + two.meal_g * 3 * pot.days == pytest.approx(pot.cooked_g)
    turkey = sum(
        line.exact_g for plan in plans for line in work_out(plan).batch.foods if line.portion.food == TURKEY
    )
    [line] = [line for line in pot.foods if line.portion.food == TURKEY]
    assert line.exact_g == pytest.approx(turkey)


def test_heat_sensitive_supplements_go_into_each_dogs_own_bowl(plans):
    pot = pot_of(plans)
    assert POWDER not in {dose.food for dose in pot.doses}
    for share, plan in zip(pot.shares, plans, strict=True):
        own = {dose.food: dose for dose in work_out(plan).batch.doses if dose.when == "in_the_bowl"}
        assert {dose.food for dose in share.bowl} == set(own)
        for dose in share.bowl:
            assert dose.day_amount == own[dose.food].day_amount


def test_what_is_cold_for_all_is_stirred_into_the_pot(plans):
    Plan.objects.update(serve="cold", batch_days=3)
    pot = pot_of(list(Plan.objects.order_by("pk")))
    assert POWDER in {dose.food for dose in pot.doses}
    assert not any(share.bowl for share in pot.shares)


def test_both_together_eat_what_is_in_the_pot(plans):
    """Protein by hand: both dogs' judged amounts add up to the pot's and the bowls' protein."""
    pot = pot_of(plans)
    for share, plan in zip(pot.shares, plans, strict=True):
        alone = work_out(plan).batch.analysis
        protein = alone.composition.totals["protein"] * 1000 / alone.energy.kcal
        assert share.judgement.at["protein", "amount"] == pytest.approx(protein, rel=0.02)


def test_only_dogs_in_care_with_the_same_version_are_offered(plans, practitioner):
    assert those_of_one_pot(plans[0]) == [plans[1]]
    plans[1].patient.status = "deceased"
    plans[1].patient.save()
    assert those_of_one_pot(plans[0]) == []


def test_the_page_and_the_paper(signed_in, plans):
    make_practice()
    page = reverse("patients:pot", args=[plans[0].pk])
    assert "Which dogs eat from it?" in signed_in.get(page).text
    shown = signed_in.get(page, {"with": [plans[1].pk, "x", "9" * 5000]}).text
    assert "Only into the bowl of Sorrel:" in shown
    answer = signed_in.get(reverse("patients:pot-pdf", args=[plans[0].pk]), {"with": plans[1].pk})
    text = " ".join(
        " ".join(p.extract_text().split()) for p in pypdf.PdfReader(io.BytesIO(answer.content)).pages
    )
    assert "One pot for Juniper and Sorrel" in text
    assert "Sorrel: 33 % of the pot" in text


def test_a_plan_with_a_problem_says_which(signed_in, plans):
    Plan.objects.filter(pk=plans[1].pk).update(kcal_per_day=50)
    page = signed_in.get(reverse("patients:pot", args=[plans[0].pk]), {"with": plans[1].pk})
    assert "Sorrel: 50 kcal is below" in page.text
