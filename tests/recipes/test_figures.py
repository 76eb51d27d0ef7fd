"""The figures of many versions at once are those of an analysis of each."""

import math

import pandas as pd
import pytest

from nutrients import queries as nutrients
from recipes import presentation, queries
from recipes.analysis import Portion
from recipes.figures import PER_1000_KCAL, Batch, figures_of
from recipes.models import RecipeVersion
from tests import cast
from tests.nutrients.makers import make_profile

NAN = math.nan
# per 100 g: 4 x 20 + 9 x 10 + 4 x 5 = 190 kcal of meat, 4 x 10 + 9 x 2 + 4 x 60 = 298 of barley
TABLE = pd.DataFrame(
    {"protein": [20.0, 10, NAN], "fat": [10.0, 2, 0], "nfe": [5.0, 60, 0], "fiber": [0.0, 10, 0]}
    | {
        "calcium": [10.0, 30, 40_000],
        "phosphorus": [200.0, NAN, 0],
        "sodium": [60.0, 5, 0],
        "copper": [1.0, 1, 1],
    },
    index=["meat", "barley", "powder"],
)
RETENTION = pd.DataFrame({"copper": [0.9]}, index=pd.MultiIndex.from_tuples([("beef", "baked")]))
YIELDS = {("beef", "baked"): 70}
PROFILE = make_profile({"copper": {"minimum": 4.0}, "calcium": {"minimum": 1000, "maximum": 4000}})
MEAT = Portion("meat", 200, "in_the_pot", "muscle meat", "beef", "raw")
BARLEY = Portion("barley", 100, "in_the_pot", "grain", "", "dried")
POWDER = Portion("powder", 2, "cooled_batch", "supplement", "", "as sold", is_supplement=True)
IN_BOWL = Portion("barley", 50, "in_the_bowl", "grain", "", "cooked")


def figures(*batches, negligible=frozenset()):
    return figures_of(list(batches), TABLE, RETENTION, negligible, YIELDS, [PROFILE])


def test_worked_out_by_hand():
    (found,) = figures(Batch([MEAT], "baked"))
    # 380 kcal in 200 g x 70 % = 140 g cooked
    assert found.kcal_per_100g == pytest.approx(380 / 140 * 100)
    assert found.cooked_is_estimate
    assert found.energy_percent == pytest.approx((160 / 3.8, 180 / 3.8, 40 / 3.8))
    assert found.per_1000_kcal["fat"] == pytest.approx(20 / 0.38)
    # 2 mg copper, 90 % left: 4.74 mg per 1000 kcal; 20 mg calcium: 53
    assert found.per_1000_kcal["copper"] == pytest.approx(1.8 / 0.38)
    assert found.answers == {"invented-adult": {"meets": 1, "below": 1, "above": 0, "cannot_confirm": 0}}


def test_a_weighed_batch_and_what_goes_in_the_bowl():
    (found,) = figures(Batch([MEAT, IN_BOWL], "baked", cooked_weight_g=150))
    assert found.kcal_per_100g == pytest.approx((380 + 149) / 200 * 100)
    assert not found.cooked_is_estimate


def test_what_is_not_wholly_known_is_none():
    (found,) = figures(Batch([MEAT, BARLEY], "baked"))
    assert found.per_1000_kcal["phosphorus"] is None
    assert found.per_1000_kcal["fat"] == pytest.approx(22 / 0.678)


def test_without_the_whole_energy_nothing_per_1000_kcal_is_known():
    (found,) = figures(Batch([MEAT, POWDER], "baked"))
    assert (found.kcal_per_100g, found.energy_percent) == (None, None)
    assert set(found.per_1000_kcal.values()) == {None}
    assert found.answers["invented-adult"]["cannot_confirm"] == 2  # more kcal would be less per 1000


def test_what_cannot_matter_is_no_gap():
    (found,) = figures(Batch([MEAT, POWDER], "baked"), negligible=frozenset({("protein", "supplement")}))
    assert found.per_1000_kcal["calcium"] == pytest.approx(820 / 0.38)


def test_each_in_its_place_however_it_is_cooked():
    nothing, salt = (
        Batch([], "baked"),
        Batch([Portion("powder", 2, "late", "supplement", "", "as sold")], "baked"),
    )
    cooked, raw = Batch([MEAT], "baked"), Batch([MEAT], "not_heated")
    found = figures(raw, nothing, cooked, salt, raw)
    assert [each is None for each in found] == [False, True, False, True, False]
    assert found[0] == found[4]
    assert found[0].per_1000_kcal["copper"] == pytest.approx(2 / 0.38)
    assert found[2].per_1000_kcal["copper"] == pytest.approx(1.8 / 0.38)


@pytest.mark.django_db
def test_equal_to_an_analysis_of_each_against_every_profile(practitioner):
    """Pots of the reference data's foods, with gaps, supplements and several methods."""
    foods = {
        "Ground turkey, 93% lean, raw": 500, "Beef liver, raw": 30,
        "White rice, long-grain, unenriched, dry": 200,
        "Carrots, raw": 100, "Corn oil": 10, "Calcium carbonate powder": 5, "Salt, iodized": 1,
        "Canine vitamin and mineral powder": 8,
    }  # fmt: skip
    names = list(foods)
    methods = ("simmered_liquid_kept", "baked", "simmered_drained", "not_heated")
    for number in range(12):
        chosen = {name: foods[name] * (1 + number / 7) for name in names[number % 4 :: 1 + number % 3]}
        cast.make_recipe(f"Pot {number}", amounts=chosen, method=methods[number % 4])
    versions = list(RecipeVersion.objects.all())
    batches = [Batch(queries.portions_of(v), v.method, v.added_water_g, v.cooked_weight_g) for v in versions]
    profiles = {profile.key: profile for profile in nutrients.feeding_profiles()}
    given = queries.reference()
    kept = figures_of(
        batches, given.table, given.retention, given.negligible, given.yields,
        [nutrients.profile_limits(profile) for profile in profiles.values()],
    )  # fmt: skip
    assert sum(each is not None for each in kept) > 8
    for version, found in zip(versions, kept, strict=True):
        if found is None:
            with pytest.raises(ValueError, match="above 0 kcal"):
                queries.analysis_of(version)
            continue
        analysis = queries.analysis_of(version)
        shown = presentation.figures(analysis)
        known = analysis.composition.completeness["missing_that_matter"]
        whole = not any(known[part] for part in ("protein", "fat", "nfe"))
        assert found.kcal_per_100g == (pytest.approx(shown.kcal_per_100g) if whole else None)
        if whole:
            assert found.energy_percent == pytest.approx(tuple(part.percent for part in shown.energy))
        for key in PER_1000_KCAL:
            amount = analysis.composition.totals[key] * 1000 / analysis.energy.kcal
            assert found.per_1000_kcal[key] == (pytest.approx(amount) if whole and not known[key] else None)
        for key, profile in profiles.items():
            against = presentation.figures(queries.analysis_of(version, profile))
            assert found.answers[key] == against.counts
