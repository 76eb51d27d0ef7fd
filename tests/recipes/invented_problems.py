"""Invented reformulations from a seed: foods, supplements and profiles of no meaning, of any size."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from nutrients.adequacy import ProfileLimits
from recipes.analysis import Portion
from recipes.reformulate import Band, Choice, Wishes

METHOD = "simmered"
REAL = ("calcium", "phosphorus", "arginine", "methionine", "cystine", "retinol", "beta_carotene")
DERIVED = {"methionine_cystine": ("methionine", "cystine"), "vitamin_a": ("retinol", "beta_carotene")}


@dataclass(frozen=True)
class Question:
    """The arguments of `reformulate`, in its order."""

    choices: list[Choice]
    table: pd.DataFrame
    retention: pd.DataFrame
    method: str
    profiles: list[ProfileLimits]
    negligible: frozenset[tuple[str, str]]
    wishes: Wishes

    def arguments(self) -> tuple:
        return tuple(vars(self).values())


def make_limits(rows: dict[str, tuple[float, float]], **profile) -> ProfileLimits:
    """rows: nutrient -> (minimum, maximum), NaN for none."""
    limits = pd.DataFrame(
        [
            {
                "key": key,
                "name": key.replace("_", " "),
                "group": "",
                "unit": "" if key == "ca_p_ratio" else "mg",
                "factor": 1.0,
                "minimum": low,
                "maximum": high,
                "maximum_kind": "",
                "source": "",
                "certainty": "",
                "maximum_certainty": "",
                "note": "",
                "order": order,
                "decimals": 2,
                "raised": False,
                "changed": False,
            }
            for order, (key, (low, high)) in enumerate(rows.items())
        ]
    ).set_index("key")
    named = {"key": "invented", "name": "Invented", "edition": "1", "life_stage": "adult", "growth": False}
    return ProfileLimits(**(named | profile), limits=limits)


def make_food(name: str, grams: float = 0.0, **particulars) -> Portion:
    defaults = {
        "when": "in_the_pot",
        "group": "grain",
        "retention_group": "grain",
        "state": "raw",
        "step_g": 5,
    }
    return Portion(food=name, grams=grams, **(defaults | particulars))


def make_supplement(name: str, grams: float = 0.0, **particulars) -> Portion:
    defaults = {
        "when": "cooled_batch",
        "group": "powder",
        "retention_group": "powder",
        "state": "raw",
        "is_supplement": True,
        "dose_unit": "tablet",
        "grams_per_dose_unit": 0.4,
        "smallest_step": 0.5,
    }
    return Portion(food=name, grams=grams, **(defaults | particulars))


def invent(seed: int, present: int = 6, new: int = 4, supplements: int = 4, limits: int = 18) -> Question:
    """A question with `present` foods in the recipe, `new` ones, and supplements, half of them new.

    The minima lie below, the maxima above what a hidden recipe of the same choices holds; in every fourth one
    a minimum is raised out of easy reach, in every third a value is missing.
    """
    random = np.random.default_rng(seed)
    plain = [f"nutrient_{number}" for number in range(limits - len(REAL) - 1)]
    portions = _portions(random, present, new, supplements)
    table = _table(random, portions, [*REAL, *plain])
    choices = [
        _choice(random, portion, at >= present and portion.grams == 0) for at, portion in enumerate(portions)
    ]
    least, most = (np.array([getattr(x, bound) for x in choices]) for bound in ("least_g", "most_g"))
    hidden = least + (most - least) * random.uniform(0.1, 0.6, len(choices))
    if seed % 3 == 0:
        table.iloc[random.integers(present), table.columns.get_loc(str(random.choice(plain[:4])))] = np.nan
    profiles = [_profile(random, table, hidden, plain, out_of_reach=seed % 4 == 0)]
    retention = pd.DataFrame(
        {plain[0]: [0.7], "arginine": [0.9]},
        index=pd.MultiIndex.from_tuples([("grain", METHOD)]),
    )
    return Question(
        choices,
        table,
        retention,
        METHOD,
        profiles,
        frozenset({("nutrient_1", "grain")}),
        _wishes(random, seed, choices, table, hidden),
    )


def _portions(random, present: int, new: int, supplements: int) -> list[Portion]:
    foods = [make_food(f"Food {n}", float(random.integers(20, 500))) for n in range(present)]
    added = [make_food(f"New food {n}") for n in range(new)]
    doses = [
        make_supplement(
            f"Supplement {n}",
            0.6 * float(random.integers(1, 8)) if n % 2 else 0.0,
            grams_per_dose_unit=0.6,
            smallest_step=float(random.choice([0.25, 0.5, 1.0])),
        )
        for n in range(supplements)
    ]
    return foods + added + doses


def _table(random, portions: list[Portion], nutrients: list[str]) -> pd.DataFrame:
    """Amounts per 100 g: foods hold energy and a little of everything, supplements much of two nutrients."""
    rows = {}
    for portion in portions:
        if portion.is_supplement:
            amounts = dict.fromkeys(["protein", "fat", "nfe", *nutrients], 0.0)
            for rich in random.choice(nutrients, 2, replace=False):
                amounts[str(rich)] = float(random.uniform(300, 3000))
        else:
            amounts = {key: float(random.lognormal(1, 1)) for key in nutrients}
            protein, fat, nfe = random.uniform(1, 25), random.uniform(0.5, 15), random.uniform(0, 40)
            amounts |= {"protein": float(protein), "fat": float(fat), "nfe": float(nfe)}
        rows[portion.food] = amounts
    return pd.DataFrame.from_dict(rows, orient="index")


def _profile(random, table, hidden, plain: list[str], out_of_reach: bool) -> ProfileLimits:
    totals = (table.fillna(0).to_numpy() * hidden[:, None] / 100).sum(axis=0)
    held = dict(zip(table.columns, totals, strict=True))
    kcal = 4 * held["protein"] + 9 * held["fat"] + 4 * held["nfe"]
    held["methionine_cystine"] = held["methionine"] + held["cystine"]
    held["vitamin_a"] = held["retinol"] / 0.3 + held["beta_carotene"] * 0.833
    rows = {}
    for key in ["protein", "calcium", "phosphorus", "arginine", *DERIVED, *plain]:
        density = held[key] * 1000 / kcal
        high = density * random.uniform(1.2, 4) if random.random() < 0.4 else np.nan
        rows[key] = (density * random.uniform(0.5, 0.95), high)
    ratio = held["calcium"] / held["phosphorus"]
    rows["ca_p_ratio"] = (ratio * 0.8, ratio * 1.6)
    if out_of_reach:
        rows[plain[5]] = (rows[plain[5]][0] * 4, np.nan)
    return make_limits(rows, arginine_per_g_protein=0.01)


def _choice(random, portion: Portion, is_new: bool) -> Choice:
    cost = float(random.uniform(1, 20))
    if is_new:
        return Choice(portion, 0.0, 12.0 if portion.is_supplement else 150.0, True, cost)
    least, most = (0.0, 9.0) if portion.is_supplement else (portion.grams * 0.4, portion.grams * 2)
    return Choice(portion, least, most, False, cost)


def _wishes(random, seed: int, choices: list[Choice], table, hidden) -> Wishes:
    parts = {key: float(table[key] @ hidden) / 100 for key in ("protein", "fat", "nfe")}
    kcal = 4 * parts["protein"] + 9 * parts["fat"] + 4 * parts["nfe"]
    fat = parts["fat"] * 1000 / kcal
    cost = sum(x.cost_per_kg * grams / 1000 for x, grams in zip(choices, hidden, strict=True))
    return Wishes(
        bands=(Band("fat", fat * 0.8, fat * 1.2),) if seed % 2 else (),
        kcal=(kcal * 0.95, kcal * 1.05),
        cost_ceiling=float(cost * random.uniform(0.9, 1.3)) if seed % 7 == 0 else None,
        most_supplements=3 if seed % 6 == 0 else None,
        margin=0.02 if seed % 5 == 0 else 0.0,
    )
