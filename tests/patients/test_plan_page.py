"""What a plan's page tells of its batch."""

import re

import pytest

from patients.plan_page import consequence
from patients.services import work_out
from tests.patients.feeding import WHOLE_RECIPE, make_whole_plan

pytestmark = pytest.mark.django_db
IRON = "Iron chelate tablet, 18 mg iron"


def test_it_offers_batches_in_which_whole_tablets_come_out(practitioner):
    found = consequence(work_out(make_whole_plan(practitioner, batch_days=4)))
    batch = found.batch
    # worked out by another route: the recipe's 0.225 g of 0.25 g tablets scaled by the energy asked for
    [tablet] = [line for line in batch.scaled.lines if line.portion.food == IRON]
    per_day = WHOLE_RECIPE[IRON] * batch.scaled.factor / tablet.portion.grams_per_dose_unit / 4
    assert batch.pieces_per_day() == {IRON: pytest.approx(per_day)}
    days, pieces = re.fullmatch(rf"(\d+) days?: (\d+) x {IRON}", found.whole_batches[0]).groups()
    assert int(pieces) == pytest.approx(per_day * int(days), rel=0.053)


def test_without_tablets_it_offers_none(practitioner):
    amounts = {name: grams for name, grams in WHOLE_RECIPE.items() if name != IRON}
    assert consequence(work_out(make_whole_plan(practitioner, amounts))).whole_batches == []
