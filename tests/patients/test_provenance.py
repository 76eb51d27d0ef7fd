"""Where an amount of a plan comes from: the rounded batch, ingredient by ingredient."""

import pytest
from django.urls import reverse

from patients import provenance_queries
from patients.services import work_out
from tests import cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan():
    patient = cast.make_patient()
    cast.make_visit(patient)
    foods = {"Ground turkey, 93% lean, raw": 503, "Calcium carbonate powder": 4}
    return cast.make_plan(patient, cast.make_recipe(amounts=foods))


def test_every_amount_of_the_plan_adds_up(plan):
    batch = work_out(plan).batch
    for key, shown in batch.analysis.judgement["amount"].items():
        found = provenance_queries.of_plan(plan, key)
        if found.amount is None or found.is_ratio:
            continue
        lines = [
            line.amount * part.weight
            for part in found.above
            for line in part.lines
            if line.amount is not None
        ]
        assert sum(lines) * 1000 / found.kcal * found.factor == pytest.approx(shown, rel=1e-9)


def test_it_counts_the_rounded_grams(plan):
    batch = work_out(plan).batch
    (turkey, chalk) = provenance_queries.of_plan(plan, "calcium").above[0].lines
    assert turkey.grams == batch.foods[0].grams
    assert chalk.grams == pytest.approx(batch.doses[0].grams_per_batch)
    assert chalk.kept.why == "not heated"


def test_the_plans_page_leads_there(signed_in, plan):
    address = reverse("patients:plan-provenance", args=[plan.pk])
    assert f"{address}?nutrient=calcium" in signed_in.get(plan.get_absolute_url()).content.decode()
    part = signed_in.get(f"{address}?nutrient=calcium", headers={"HX-Request": "true"}).content.decode()
    assert "Juniper" not in part
    assert "Ground turkey, 93% lean, raw" in part
    assert "<html" not in part
    assert "Juniper" in signed_in.get(f"{address}?nutrient=calcium").content.decode()


def test_an_unknown_nutrient_is_not_found(signed_in, plan):
    address = reverse("patients:plan-provenance", args=[plan.pk])
    assert signed_in.get(address).status_code == 404
