"""A change marks the kept figures that rest on it, and no others, in the transaction that makes it."""

import pytest
from django.core.management import call_command
from django.db import transaction

from nutrients.food_import import import_foods
from nutrients.models import (
    BatchYield,
    Food,
    FoodValue,
    Limit,
    Negligible,
    Nutrient,
    Profile,
    Retention,
    Supplement,
)
from nutrients.reference.lines import line
from nutrients.reference.tables import write
from recipes import queries, renewal, staleness
from recipes.models import VersionFigures
from tests import cast
from tests.nutrients.usda_files import CSV

pytestmark = pytest.mark.django_db
TURKEY, LIVER, CALCIUM = "Ground turkey, 93% lean, raw", "Beef liver, raw", "Calcium carbonate powder"


@pytest.fixture
def pots():
    """Two recipes with fresh figures: turkey baked, and liver slow-cooked with calcium."""
    turkey = cast.make_recipe("Turkey", {TURKEY: 500}, method="baked")
    liver = cast.make_recipe("Liver", {LIVER: 100, CALCIUM: 2}, method="slow_cooked_liquid_kept")
    renewal.renew([turkey.pk, liver.pk])
    assert stale() == set()
    return turkey, liver


def stale():
    return set(VersionFigures.objects.stale().values_list("version__recipe__title", flat=True))


BOTH = {"Turkey", "Liver"}
CHANGES = {
    "a food's value": (lambda: FoodValue.objects.filter(food__name=LIVER).first(), {"Liver"}),
    "a food": (lambda: Food.objects.get(name=TURKEY), {"Turkey"}),
    "a supplement": (lambda: Supplement.objects.get(food__name=CALCIUM), {"Liver"}),
    "a limit": (lambda: Limit.objects.first(), BOTH),
    "a profile": (lambda: Profile.objects.first(), BOTH),
    "a nutrient": (lambda: Nutrient.objects.first(), BOTH),
    "what is negligible": (lambda: Negligible.objects.first(), BOTH),
    "a yield": (lambda: BatchYield.objects.filter(method="baked").first(), {"Turkey"}),
    "a factor": (
        lambda: Retention.objects.filter(
            food_group=Food.objects.get(name=LIVER).retention_group
        ).first(),
        {"Liver"},
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", CHANGES)
def test_saving_marks(pots, what):
    row, marked = CHANGES[what]
    row().save()
    assert stale() == marked


def test_taking_a_value_away_marks(pots):
    FoodValue.objects.filter(food__name=LIVER).first().delete()
    assert stale() == {"Liver"}


def test_a_food_that_no_recipe_holds_marks_nothing(pots):
    Food.objects.exclude(name__in=(TURKEY, LIVER, CALCIUM)).first().save()
    assert stale() == set()


def test_a_changed_line_or_version_marks_its_own(pots):
    turkey, liver = pots
    turkey.ingredients.first().save()
    assert stale() == {"Turkey"}
    liver.save()
    assert stale() == {"Turkey", "Liver"}


def test_a_mark_goes_when_its_change_does(pots):
    with transaction.atomic():
        FoodValue.objects.filter(food__name=LIVER).first().save()
        assert stale() == {"Liver"}
        transaction.set_rollback(True)
    assert stale() == set()


def test_rows_written_in_bulk_mark_too(pots):
    value = FoodValue.objects.filter(food__name=LIVER).first()
    changed = line("here", FoodValue, {
        "food": value.food, "nutrient": value.nutrient, "per_100g": value.per_100g + 1,
        "kind": value.kind, "source": value.source,
    })  # fmt: skip
    write([changed], ("food", "nutrient"))
    assert stale() == {"Liver"}


def test_loading_what_is_there_already_marks_nothing(pots):
    call_command("load_reference", verbosity=0)
    assert stale() == set()


def test_an_import_marks_the_recipes_of_the_foods_it_changes(pots):
    import_foods(CSV)
    assert stale() == set()
    kale = Food.objects.get(name="Kale, test kind, raw")
    version = cast.make_recipe("Kale", {kale.name: 100, TURKEY: 100})
    renewal.renew([version.pk])
    FoodValue.objects.filter(food=kale, nutrient__key="energy").update(per_100g=77)
    assert stale() == set()  # past every signal: what only a test does
    import_foods(CSV)
    assert stale() == {"Kale"}


def test_more_foods_than_a_statement_can_name_mark_everything(pots, monkeypatch):
    monkeypatch.setattr(staleness, "MOST_NAMED", 0)
    Food.objects.get(name=TURKEY).save()
    assert stale() == BOTH


def test_few_are_renewed_as_soon_as_the_change_is_made(pots, django_capture_on_commit_callbacks):
    _, liver = pots
    copper = FoodValue.objects.get(food__name=LIVER, nutrient__key="copper")
    copper.per_100g *= 2
    with django_capture_on_commit_callbacks(execute=True):
        copper.save()
    assert stale() == set()
    analysis = queries.analysis_of(liver)
    expected = analysis.composition.totals["copper"] * 1000 / analysis.energy.kcal
    liver.figures.refresh_from_db()
    assert liver.figures.copper == pytest.approx(expected)
