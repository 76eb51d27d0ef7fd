"""Approved substitutions on a plan and on its sheet: scaled like the batch, judged for the dog."""

from dataclasses import replace

import pytest
from django.utils import timezone

from nutrients.models import FoodValue
from patients.alternative_queries import alternatives_of
from patients.alternatives import told
from patients.services import issue_sheet, work_out
from recipes.models import SubstitutionAmount
from tests.patients.feeding import WHOLE_RECIPE, make_practice, make_whole_plan
from tests.recipes.pork import CALCIUM, EGGSHELL, LIVER, OYSTER, food, make_substitution

pytestmark = pytest.mark.django_db
TURKEY, CHICKEN = "Ground turkey, 93% lean, raw", "Chicken breast, skinless, raw"


def approved(version, by, replaces=CALCIUM, stand_in=EGGSHELL, grams=6.6, amounts=(), **particulars):
    kept = make_substitution(
        version, replaces, stand_in, grams, approved_by=by, approved_at=timezone.now(), **particulars
    )
    for name, other_g in dict(amounts).items():
        SubstitutionAmount.objects.create(substitution=kept, food=food(name), grams=other_g)
    return kept


@pytest.fixture
def plan(practitioner):
    return make_whole_plan(practitioner, batch_days=4)


def only(plan):
    [found] = alternatives_of(plan, work_out(plan))
    return found


def test_an_approved_substitution_is_scaled_like_the_batch(plan, practitioner):
    approved(plan.recipe_version, practitioner)
    workings = work_out(plan)
    [found] = alternatives_of(plan, workings)
    factor = workings.batch.scaled.factor
    dose = next(dose for dose in found.batch.doses if dose.food == EGGSHELL)
    assert found.offered
    assert dose.batch_amount == pytest.approx(6.6 * factor, abs=0.05)  # in tenths of a gram
    [record] = told([found], workings.batch)
    assert (record["instead_of"], record["food"], record["also"]) == (CALCIUM, EGGSHELL, [])
    assert record["amount"] == f"{dose.batch_amount:g} g"


@pytest.mark.parametrize("beans_g", [100, 0])
def test_other_lines_change_along(plan, practitioner, beans_g):
    approved(plan.recipe_version, practitioner, amounts={"Green beans, raw": beans_g})
    workings = work_out(plan)
    [record] = told(alternatives_of(plan, workings), workings.batch)
    planned = next(line.grams for line in workings.batch.foods if line.portion.food == "Green beans, raw")
    [also] = record["also"]
    assert (also["food"], also["not"]) == ("Green beans, raw", f"{planned:g} g")
    assert float(also["amount"].split()[0] if also["amount"] else 0) == pytest.approx(
        planned * beans_g / 200, abs=2.5
    )


def test_drafts_are_not_offered(plan):
    make_substitution(plan.recipe_version, grams=6.6)
    assert alternatives_of(plan, work_out(plan)) == []


class TestNotOffered:
    def test_a_food_that_the_dog_must_not_get(self, plan, practitioner):
        plan.patient.avoids.create(word="eggshell", reason="refuses it")
        approved(plan.recipe_version, practitioner)
        found = only(plan)
        assert not found.offered
        assert "refuses it" in " ".join(found.why_not)
        assert told([found], work_out(plan).batch) == []

    def test_a_limit_that_this_dog_no_longer_meets(self, plan, practitioner):
        approved(plan.recipe_version, practitioner, grams=1)
        assert any("Calcium falls below minimum" in sentence for sentence in only(plan).why_not)

    def test_what_cannot_be_confirmed_and_is_never_passed_over(self, plan, practitioner):
        FoodValue.objects.filter(food__name=EGGSHELL, nutrient__key="phosphorus").delete()
        approved(plan.recipe_version, practitioner)
        found = only(plan)
        assert not found.offered
        assert any(f"no value in {EGGSHELL}" in sentence for sentence in found.why_not)

    def test_far_more_energy(self, plan, practitioner):
        approved(plan.recipe_version, practitioner, "Pumpkin, raw", "Olive oil", 60, when="off_the_heat")
        assert any("more energy than the plan" in sentence for sentence in only(plan).why_not)

    def test_a_food_no_longer_bought(self, plan, practitioner):
        approved(plan.recipe_version, practitioner)
        food(EGGSHELL).__class__.objects.filter(name=EGGSHELL).update(discontinued=True)
        assert f"{EGGSHELL} is discontinued: choose another." in only(plan).why_not

    def test_a_dose_that_cannot_be_given(self, practitioner):
        plan = make_whole_plan(practitioner, batch_days=4)
        drops = "Vitamin D drops, 25 IU per drop"
        approved(
            plan.recipe_version, practitioner, "Choline bitartrate powder", drops, 0.001, when="in_the_bowl"
        )
        found = only(plan)
        assert found.batch is None
        assert "weaker product" in " ".join(found.why_not)


def test_what_the_version_does_not_meet_itself_is_no_reason(practitioner):
    without = {name: grams for name, grams in WHOLE_RECIPE.items() if name != LIVER}
    plan = make_whole_plan(practitioner, amounts=without, batch_days=4)
    approved(plan.recipe_version, practitioner)
    assert only(plan).offered


def test_food_that_must_get_hotter_tells_its_temperature(plan, practitioner):
    # Egg, 71 °C (USDA FSIS, from memory), instead of an oil; nothing else in the pot asks for eggs.
    approved(plan.recipe_version, practitioner, "Green beans, raw", "Egg, whole, raw", 45, when="in_the_pot")
    workings = work_out(plan)
    [found] = alternatives_of(plan, workings)
    [record] = told([replace(found, why_not=())], workings.batch)
    assert record["temperatures"] == [{"food": "eggs", "celsius": 71}]


class TestOnTheSheet:
    @pytest.fixture
    def issued(self, practitioner):
        plan = make_whole_plan(practitioner, batch_days=4)
        approved(plan.recipe_version, practitioner, amounts={"Green beans, raw": 100})
        return issue_sheet(plan=plan, by=practitioner, practice=make_practice(), acknowledged=True)

    def test_it_stands_in_the_record_and_on_both_pages(self, issued, signed_in):
        [swap] = issued.record["substitutions"]
        assert swap["food"] == EGGSHELL
        html = signed_in.get(issued.get_absolute_url()).content.decode()
        assert f"If you cannot buy <strong>{CALCIUM}</strong>" in html
        assert "Swap only what stands under" in html

    def test_it_is_printed(self, issued):
        from io import BytesIO

        import pypdf

        reader = pypdf.PdfReader(BytesIO(bytes(issued.pdf)))
        text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
        assert f"If you cannot buy {CALCIUM}: use" in text
        assert len(reader.pages) <= 5

    def test_withdrawn_later_the_sheet_stays_as_issued(self, issued):
        issued.plan.recipe_version.substitutions.all().delete()
        issued.refresh_from_db()
        assert issued.record["substitutions"]


def test_without_substitutions_the_sheet_says_nothing_of_them(practitioner, signed_in):
    sheet = issue_sheet(
        plan=make_whole_plan(practitioner), by=practitioner, practice=make_practice(), acknowledged=True
    )
    assert sheet.record["substitutions"] == []
    assert "If you cannot buy" not in signed_in.get(sheet.get_absolute_url()).content.decode()


def test_the_plans_page_lists_what_is_offered_and_what_is_not(plan, practitioner, signed_in):
    approved(plan.recipe_version, practitioner)
    approved(plan.recipe_version, practitioner, LIVER, OYSTER, 20, when="in_the_pot")
    html = signed_in.get(plan.get_absolute_url()).content.decode()
    assert '<span class="tag good">offered</span>' in html
    assert '<span class="tag never">not offered</span>' in html
