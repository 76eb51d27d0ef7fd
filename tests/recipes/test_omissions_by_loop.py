"""What is left out, worked out a second time by a plain loop over the stored rows, without DataFrames."""

from collections import defaultdict

import pytest

from nutrients.models import FoodValue, Limit, Nutrient, Retention
from nutrients.queries import negligible
from nutrients.units import convert
from recipes.omission_queries import of_version
from tests.cast import make_recipe
from tests.patients.feeding import WHOLE_RECIPE

pytestmark = pytest.mark.django_db

METHOD = "simmered_liquid_kept"
PARTS = ("water", "protein", "fat", "ash", "fiber")
# Told by rules of their own: sums, ratios, the rise of arginine, and vitamin A with its two maxima.
ASIDE = {"arginine", "vitamin_a"}
SLIM_RECIPE = {
    "Ground beef, 90% lean, raw": 400,
    "Kidney beans, red, boiled, no salt": 300,
    "Sweet potato, raw": 400,
    "Spinach, raw": 100,
    "Canola oil": 15,
    "Sardines, Atlantic, canned in oil, drained, with bone": 60,
    "Calcium carbonate powder": 4,
    "Zinc chelate tablet, 15 mg zinc": 0.8,
    "Kelp powder, assayed, 600 ug iodine per g": 0.5,
}


class Loop:
    """The reference data as dictionaries."""

    def __init__(self, version):
        self.lines = list(version.ingredients.select_related("food__supplement"))
        values = FoodValue.objects.filter(food__in=[line.food for line in self.lines]).exclude(kind="bound")
        self.per_100g = defaultdict(dict)
        for name, key, amount in values.values_list("food__name", "nutrient__key", "per_100g"):
            self.per_100g[name][key] = amount
        self.left = {
            (group, method, key): percent / 100
            for group, method, key, percent in Retention.objects.values_list(
                "food_group", "method", "nutrient__key", "percent"
            )
        }
        self.negligible = negligible()
        self.limits = Limit.objects.filter(profile=version.recipe.profile).select_related("nutrient")

    def retained(self, line, key) -> float:
        heated = line.when in ("in_the_pot", "late") and not hasattr(line.food, "supplement")
        if not heated:
            return 1
        method = "reheated" if line.food.state in ("cooked", "canned") else METHOD
        return self.left.get((line.food.retention_group, method, key), 1)

    def total(self, key, grams) -> tuple[float, bool]:
        """What is known of a nutrient, and whether a food that can carry it has no value."""
        known, gap = 0.0, False
        for line in self.lines:
            held = self.per_100g[line.food.name].get(key)
            if not grams[line.food.name]:
                continue
            if held is None:
                gap = gap or (key, line.food.group) not in self.negligible
            else:
                known += grams[line.food.name] / 100 * held * self.retained(line, key)
        return known, gap

    def kcal(self, grams) -> float:
        found = 0.0
        for line in self.lines:
            held, hundreds = self.per_100g[line.food.name], grams[line.food.name] / 100
            protein, fat = held["protein"], held["fat"]
            nfe = max(0.0, 100 - sum(held[part] for part in PARTS))
            fat *= self.retained(line, "fat")
            found += hundreds * (4 * protein * self.retained(line, "protein") + 9 * fat)
            found += hundreds * 4 * nfe * self.retained(line, "nfe")
        return found

    def answers(self, grams) -> dict[tuple[str, str], str]:
        """(nutrient, side) -> answer."""
        kcal, found = self.kcal(grams), {}
        for limit in self.limits:
            nutrient = limit.nutrient
            if nutrient.derived or nutrient.key in ASIDE:
                continue
            known, gap = self.total(nutrient.key, grams)
            per_1000_kcal = convert(known * 1000 / kcal, nutrient.unit, limit.unit, nutrient.key)
            short = "cannot_confirm" if gap else "below"
            if limit.minimum is not None:
                found[nutrient.key, "minimum"] = "meets" if per_1000_kcal >= limit.minimum else short
            if limit.maximum is not None:
                within = "cannot_confirm" if gap else "meets"
                found[nutrient.key, "maximum"] = "above" if per_1000_kcal > limit.maximum else within
        return found


def worse_by_loop(loop: Loop, before: dict, grams: dict[str, float]) -> dict[tuple[str, str], str]:
    """Limits that were met as written and are not met, or not confirmed, any more."""
    after = loop.answers(grams)
    return {key: answer for key, answer in after.items() if before[key] == "meets" and answer != "meets"}


@pytest.mark.parametrize("amounts", [WHOLE_RECIPE, SLIM_RECIPE], ids=["whole", "slim"])
@pytest.mark.parametrize("share", [0, 0.5], ids=["without", "half"])
def test_a_plain_loop_finds_the_same_limits(amounts, share):
    version = make_recipe("Pot", amounts, method=METHOD)
    loop, judged = Loop(version), set(Nutrient.objects.filter(derived=False).values_list("key", flat=True))
    before = loop.answers(amounts)
    lines = of_version(version, version.recipe.profile).lines
    assert [line.food for line in lines] == list(amounts)
    found_any = False
    for line in lines:
        outcome = line.half if share else line.without
        told = {
            (each.key, each.side): each.after
            for each in outcome.worse
            if each.key in judged - ASIDE and each.before == "meets"
        }
        expected = worse_by_loop(loop, before, amounts | {line.food: amounts[line.food] * share})
        found_any = found_any or bool(expected)
        assert told == expected, line.food
    assert found_any


def test_the_energy_is_the_same():
    version = make_recipe("Pot", SLIM_RECIPE, method=METHOD)
    loop = Loop(version)
    found = of_version(version, version.recipe.profile)
    assert found.kcal == pytest.approx(loop.kcal(SLIM_RECIPE))
    for line in found.lines:
        assert line.without.kcal == pytest.approx(loop.kcal(SLIM_RECIPE | {line.food: 0}))
