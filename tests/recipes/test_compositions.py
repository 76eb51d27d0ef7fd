"""Many batches at once give what each gives alone."""

import math

import pandas as pd

from recipes.analysis import Portion, composition, compositions

TABLE = pd.DataFrame(
    {"iron": [2.0, math.nan, 1.0], "fat": [10.0, 1.0, 0.0], "epa": [0.5, 0.0, math.nan]},
    index=["meat", "oats", "kale"],
)
RETENTION = pd.DataFrame(
    {"iron": [0.9, 0.7], "fat": [0.8, math.nan]},
    index=pd.MultiIndex.from_tuples([("beef", "baked"), ("greens", "baked")]),
)


def portion(food, grams, group, retention_group, when="in_the_pot"):
    return Portion(food, grams, when, group, retention_group, "raw")


def test_batches_cooked_alike():
    meat = portion("meat", 200, "muscle meat", "beef")
    kale = portion("kale", 50, "vegetable", "greens")
    late = portion("kale", 30, "vegetable", "greens", "off_the_heat")
    batches = [[meat, kale], [], [portion("oats", 80, "grain", ""), late, meat]]
    negligible = frozenset({("epa", "vegetable")})
    together = list(compositions(batches, TABLE, RETENTION, "baked", negligible))
    for batch, found in zip(batches, together, strict=True):
        alone = composition(batch, TABLE, RETENTION, "baked", negligible)
        pd.testing.assert_series_equal(found.totals, alone.totals)
        pd.testing.assert_frame_equal(found.completeness, alone.completeness)
        pd.testing.assert_frame_equal(found.contributions, alone.contributions)
    # By hand: 200 g meat at 90 % of 2 mg, 50 g kale at 70 % of 1 mg in 100 g; then 30 g kale unheated.
    assert together[0].totals["iron"] == 200 / 100 * 2 * 0.9 + 50 / 100 * 1 * 0.7
    assert together[2].totals["iron"] == 30 / 100 * 1 + 200 / 100 * 2 * 0.9


def test_no_batch_at_all():
    assert list(compositions([], TABLE, RETENTION, "baked")) == []
