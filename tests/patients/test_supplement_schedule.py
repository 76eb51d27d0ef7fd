"""What each supplement brings, and what a month of it takes."""

import pytest

from patients.services import issue_sheet, work_out
from patients.supplement_schedule import supplies
from tests.patients.feeding import SUPPLEMENTS, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db


@pytest.fixture
def workings(practitioner):
    return work_out(make_whole_plan(practitioner, batch_days=5))


def test_each_supplement_stands_once_with_its_form(workings):
    found = {each.food: each for each in supplies(workings.batch, 6)}
    assert sorted(found) == sorted(SUPPLEMENTS)
    assert found["Calcium carbonate powder"].form == "calcium carbonate"


def test_a_month_is_so_many_batches_as_rounded(workings):
    doses = {dose.food: dose.batch_amount for dose in workings.batch.doses}
    for each in supplies(workings.batch, 6):
        assert each.month_amount == pytest.approx(6 * doses[each.food])
        assert each.day_amount == pytest.approx(doses[each.food] / 5)


def test_it_names_what_each_is_for(workings):
    carries = {each.food: each.carries for each in supplies(workings.batch, 6)}
    assert carries["Calcium carbonate powder"][0] == "Calcium"
    # iodized salt holds 60.7 % chloride and 39.3 % sodium (NaCl), and iodine: nothing else
    assert set(carries["Salt, iodized"]) <= {"Sodium", "Chloride", "Iodine"}
    assert carries["Iron chelate tablet, 18 mg iron"] == ("Iron",)  # 18 mg of iron, nothing else


def test_the_sheet_tells_all_of_it(practitioner):
    plan = make_whole_plan(practitioner, batch_days=5, frozen=True)
    record = issue_sheet(plan=plan, by=practitioner, practice=make_practice(), acknowledged=True).record
    doses = {dose["food"]: dose for moment in record["supplements"] for dose in moment["doses"]}
    calcium = doses["Calcium carbonate powder"]
    assert calcium["measured"] == "on the scale"
    assert "calcium" in calcium["carries"]
    assert calcium["without"].startswith("without it")
    grams = float(calcium["per_batch"].removesuffix(" g"))
    assert calcium["per_month"] == f"{grams * 6:g} g"  # 30 days in batches of 5
