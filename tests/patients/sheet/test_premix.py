"""The premix card of a sheet."""

import pytest

from patients.services import work_out
from patients.sheet.premix import premix_part
from tests.patients.feeding import make_whole_plan

pytestmark = pytest.mark.django_db


def part(practitioner, **choices):
    return premix_part(work_out(make_whole_plan(practitioner, **choices)))


def test_a_month_of_powders_adds_up_to_what_each_batch_gets(practitioner):
    workings = work_out(make_whole_plan(practitioner, batch_days=4, scale="0.1"))
    found = premix_part(workings)
    assert found["batches"] == 8  # 30 days in batches of 4, upwards
    in_batch = [dose for dose in workings.batch.doses if dose.when == "cooled_batch"]
    powders = {dose.food: dose.batch_amount for dose in in_batch if dose.dose_unit == "g"}
    plain = {line["food"]: line["grams"] for line in found["weighings"] if not line["dilute"]}
    assert plain
    for food, grams in plain.items():
        assert grams == pytest.approx(powders[food] * 8, abs=0.051)
    assert found["total_g"] / 8 == pytest.approx(found["per_batch_g"], abs=0.051)


def test_a_coarse_scale_asks_for_a_dilution(practitioner):
    # iodized salt: a few tenths of a gram a batch; a scale of whole grams weighs from 10 g within 5 %
    lines = {line["food"]: line for line in part(practitioner, batch_days=4, scale="1")["weighings"]}
    assert lines["Salt, iodized"]["dilute"].startswith("First mix 10 g of it well with ")
    assert lines["Salt, iodized"]["grams"] >= 10


@pytest.mark.parametrize("scale", ["", "none"])
def test_without_a_scale_that_is_told_there_is_no_card(practitioner, scale):
    assert part(practitioner, scale=scale) is None


def test_the_practice_may_say_how_many_batches_a_month(practitioner):
    assert part(practitioner, batch_days=4, batches_a_month=6, scale="0.1")["batches"] == 6
