"""A larger or a smaller batch of the same recipe has the same figures per 1000 kcal. No database."""

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nutrients.profile_basis import PER_DM
from recipes.analysis import Portion, analyse
from recipes.basis import AS_FED, PER_DAY, USUAL, basis_of
from recipes.limit_rows import limit_rows
from tests.nutrients.makers import UNKNOWN, make_profile

PROFILE = make_profile(
    {
        "protein": {"minimum": 45, "maximum": 120},
        "calcium": {"minimum": 1250, "maximum": 4500},
        "zinc": {"minimum": 20},
        "ca_p_ratio": {"unit": "ratio", "minimum": 1, "maximum": 2},
        "vitamin_a": {"unit": "IU", "minimum": 1250, "maximum": 62500},
    }
)
AMOUNTS = {
    "water": 60,
    "protein": 30,
    "fat": 20,
    "ash": 3,
    "fiber": 10,
    "nfe": 60,
    "calcium": 900,
    "phosphorus": 700,
    "zinc": 20,
    "retinol": 2000,
    "beta_carotene": 4000,
}
GROUPS = ("muscle meat", "grain & starch", "legume")

foods = st.lists(
    st.fixed_dictionaries(
        {key: st.one_of(st.floats(0.5, most), st.just(UNKNOWN)) for key, most in AMOUNTS.items()}
        | {key: st.floats(0.5, AMOUNTS[key]) for key in ("protein", "fat", "nfe")}
    ),
    min_size=1,
    max_size=4,
)
grams = st.lists(st.floats(1, 2000), min_size=4, max_size=4)


def analysed(table, weights):
    portions = [
        Portion(name, weight, "in_the_pot", GROUPS[place % len(GROUPS)], "", "raw")
        for place, (name, weight) in enumerate(zip(table.index, weights, strict=False))
    ]
    retention = pd.DataFrame({"zinc": [0.9]}, index=pd.MultiIndex.from_tuples([("", "baked")]))
    return analyse(portions, table, retention, "baked", PROFILE, frozenset(), {})


def shown(analysis, key):
    basis = basis_of(key, analysis, "Alder", 500.0) if key else USUAL
    rows = limit_rows(analysis, basis)
    answers = [(row.both_answers, row.missing, row.unit) for row in rows]
    return [UNKNOWN if row.amount is None else row.amount for row in rows], answers


@pytest.mark.parametrize("key", ["", PER_DM, AS_FED, PER_DAY])
@settings(max_examples=50, deadline=None)
@given(values=foods, weights=grams, factor=st.floats(0.01, 100))
def test_scaling_changes_no_figure_on_any_basis(key, values, weights, factor):
    table = pd.DataFrame(values, index=[f"food {place}" for place in range(len(values))])
    if key == PER_DM:
        table[["ash", "fiber"]] = table[["ash", "fiber"]].fillna(1.0)
    amounts, answers = shown(analysed(table, weights), key)
    scaled_amounts, scaled_answers = shown(analysed(table, [weight * factor for weight in weights]), key)
    assert scaled_amounts == pytest.approx(amounts, rel=1e-9, nan_ok=True)
    assert scaled_answers == answers
