"""A small invented kitchen for the tests of swaps: round amounts per 100 g, so that sums are done by hand.

meat 400 kcal (100 g protein); oil 900 kcal (100 g fat); the powder and the tablet hold no energy.
"""

import math

import pandas as pd

from nutrients.adequacy import ProfileLimits
from recipes.analysis import Portion
from recipes.substitutions import Setting

NUTRIENTS = ["protein", "fat", "nfe", "zinc", "copper", "sodium"]
TABLE = pd.DataFrame.from_dict(
    {
        "meat": [100, 0, 0, 0, 0, 0],
        "game": [50, 0, 0, 0, 0, 0],
        "fowl": [100, 0, 0, 0, math.nan, 0],
        "liver": [50, 0, 0, 0, 10, 0],
        "pale liver": [50, 0, 0, 0, 1, 0],
        "oil": [0, 100, 0, 0, 0, 0],
        "shellfish": [50, 0, 0, 20, 4, 0],
        "zinc tablet": [0, 0, 0, 4_000, 0, 0],
        "zinc salt": [0, 0, 0, 400, 0, 10_000],
        "mystery": [math.nan, 0, 0, math.nan, 0, 0],
    },
    orient="index",
    columns=NUTRIENTS,
    dtype=float,
)
GROUPS = {
    "liver": ("organ", "liver"),
    "pale liver": ("organ", "liver"),
    "oil": ("plant oil", ""),
    "shellfish": ("fish & shellfish", "shellfish"),
    "zinc tablet": ("mineral supplement", ""),
    "zinc salt": ("mineral supplement", ""),
}
RETENTION = pd.DataFrame(
    columns=NUTRIENTS, index=pd.MultiIndex.from_tuples([], names=["food_group", "method"]), dtype=float
)


def limit(key, minimum, maximum=math.nan, unit="mg", group="Minerals"):
    kind = "" if math.isnan(maximum) else "safe upper"
    return {
        "key": key, "name": key.capitalize(), "group": group, "unit": unit, "factor": 1.0,
        "minimum": minimum, "maximum": maximum, "maximum_kind": kind, "source": "", "certainty": "memory",
        "maximum_certainty": "", "note": "", "order": 0, "decimals": 2, "raised": False, "changed": False,
    }  # fmt: skip


def profile(*limits):
    rows = limits or (limit("zinc", 8), limit("copper", 1.5, 6), limit("sodium", 10))
    return ProfileLimits("invented", "Invented", "1", "adult", False, pd.DataFrame(rows).set_index("key"))


def setting(*limits):
    return Setting(TABLE, RETENTION, frozenset(), "not_heated", profile(*limits))


def portion(food, grams=100.0, **particulars):
    group, kind = GROUPS.get(food, ("muscle meat", "beef"))
    supplement = food.startswith("zinc")
    dosing = {"dose_unit": "g", "grams_per_dose_unit": 1, "smallest_step": 0.1} if supplement else {}
    when = "cooled_batch" if supplement else "in_the_pot"
    defaults = {"when": when, "state": "as sold" if supplement else "raw", "is_supplement": supplement}
    return Portion(
        **(
            {"food": food, "grams": grams, "group": group, "retention_group": kind}
            | defaults
            | dosing
            | particulars
        )
    )


# 1000 kcal of meat, 20 g of liver with 2 mg copper and 40 kcal, half a gram of tablet with 20 mg zinc.
RECIPE = [portion("meat", 250), portion("liver", 20), portion("zinc tablet", 0.5)]
