"""Many batches counted at once say what `total` and `judge` say of each alone."""

import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nutrients import adequacy, batches
from nutrients.composition import PARTS, STORED_PARTS, total
from nutrients.energy_density import energy_of
from tests.nutrients.makers import make_profile

STORED = list(dict.fromkeys([*STORED_PARTS, "protein", "fat", "nfe", "arginine", "copper", "iodine"]))
GROUPS = ("meat", "leaf", "salt")
NEGLIGIBLE = frozenset(
    {("iodine", "meat"), ("nfe", "meat"), ("fat", "leaf"), ("epa", "leaf"), ("dha", "salt")}
)
JUDGED = [*STORED, *PARTS, "never_measured"]

amounts = st.one_of(st.just(math.nan), st.just(0.0), st.floats(0.01, 50))
lines = st.tuples(st.sampled_from(GROUPS), st.lists(amounts, min_size=len(STORED), max_size=len(STORED)))
batch = st.lists(lines, min_size=1, max_size=4)
limit = st.tuples(
    *[st.one_of(st.just(math.nan), st.floats(0.01, 2000))] * 2, st.sampled_from([1.0, 1.49, 0.001])
)


def together(made: list) -> batches.Batches:
    flat = [line for lines in made for line in lines]
    return batches.totals(
        np.array([values for _, values in flat]),
        STORED,
        [group for group, _ in flat],
        [len(lines) for lines in made],
        NEGLIGIBLE,
    )


def alone(lines: list):
    table = pd.DataFrame(
        [values for _, values in lines], columns=STORED, index=[f"food {i}" for i in range(len(lines))]
    )
    return total(table, [group for group, _ in lines], [100.0] * len(lines), NEGLIGIBLE)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(batch, min_size=1, max_size=4),
    st.lists(limit, min_size=len(JUDGED), max_size=len(JUDGED)),
    st.sampled_from([0.0, 0.01]),
)
def test_totals_and_answers_are_those_of_each_batch_alone(made, limits, arginine):
    profile = make_profile(
        {
            key: {"minimum": low, "maximum": high, "factor": factor}
            for key, (low, high, factor) in zip(JUDGED, limits, strict=True)
        },
        arginine_per_g_protein=arginine,
        protein_for_arginine=30.0,
    )
    found = together(made)
    for place, lines in enumerate(made):
        by_name = alone(lines)
        kcal = energy_of(by_name).kcal
        assert found.kcal[place] == pytest.approx(kcal)
        for key in (*STORED, *PARTS):
            assert found.amounts[key][place] == pytest.approx(by_name.totals[key], nan_ok=True)
            assert found.unknown[key][place] == bool(by_name.completeness.at[key, "missing"])
            assert found.matters[key][place] == bool(by_name.completeness.at[key, "missing_that_matter"])
    fed = np.flatnonzero(found.kcal > 0)
    counted = batches.counts(found.only(fed), profile)
    for place, lines in enumerate(made[each] for each in fed):
        by_name = alone(lines)
        judgement = adequacy.judge(by_name.totals, by_name.completeness, energy_of(by_name).kcal, profile)
        assert {answer: int(number[place]) for answer, number in counted.items()} == adequacy.counts(
            judgement
        )


KNOWN = dict.fromkeys(STORED, 0.0) | {"protein": 20.0, "fat": 10.0, "nfe": 5.0}


def line(group="meat", **values):
    return group, list((KNOWN | values).values())


def test_an_amount_per_1000_kcal_worked_out_by_hand():
    # 4 x 20 + 9 x 10 + 4 x 5 = 190 kcal and 3 mg: 15.79 mg per 1000 kcal
    assert together([[line(copper=3.0)]]).per_1000_kcal("copper") == pytest.approx([3 * 1000 / 190])


@pytest.mark.parametrize(
    ("second", "known"),
    [
        (line(copper=math.nan), False),
        (line(protein=math.nan), False),  # too few kcal would flatter every amount
        (line(iodine=math.nan), True),  # another nutrient
        (line(nfe=math.nan), True),  # meat holds no carbohydrate that matters
    ],
)
def test_an_amount_is_unknown_unless_it_and_the_energy_are_wholly_known(second, known):
    (amount,) = together([[line(copper=3.0), second]]).per_1000_kcal("copper")
    assert math.isnan(amount) != known


def test_an_impossible_amount_leaves_its_own_batch_without_energy():
    found = together([[line(copper=-1.0)], [line()], [line(copper=math.inf)]])
    assert list(found.kcal) == [0, 190, 0]


def test_nothing_is_judged_without_energy():
    with pytest.raises(ValueError, match="above 0 kcal"):
        batches.counts(together([[line(protein=0.0, fat=0.0, nfe=0.0)]]), make_profile({"copper": {}}))


def test_a_table_of_daily_allowances_is_none_to_judge_with():
    with pytest.raises(ValueError, match="not given per 1000 kcal"):
        batches.counts(together([[line()]]), make_profile({"copper": {}}, basis="per_mbw"))


@pytest.mark.parametrize(("rise", "answer"), [(0.0, "meets"), (0.01, "below")])
def test_the_minimum_of_arginine_rises_with_the_protein(rise, answer):
    # 20 g protein in 190 kcal: 105.3 g per 1000 kcal, 75.3 above 30: minimum 1 + 0.753 g. 0.3 g are 1.58 g.
    profile = make_profile(
        {"arginine": {"minimum": 1.0}}, arginine_per_g_protein=rise, protein_for_arginine=30.0
    )
    assert batches.counts(together([[line(arginine=0.3)]]), profile)[answer] == [1]
