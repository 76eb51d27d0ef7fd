"""Which open limits a person may accept, on what condition, and when that lapses."""

import math
from dataclasses import replace

import pandas as pd
import pytest

from nutrients.adequacy import CRITICAL
from recipes.acceptance import Accepted, Condition, OpenLimit, condition, open_limits, sentence, still_holds

ZINC = OpenLimit(
    nutrient="zinc", name="Zinc", side="minimum", answer="below", word="Below minimum", amount=15.0,
    limit=20.0, unit="mg", decimals=1, missing=(), condition=Condition.REASON,
)  # fmt: skip
ACCEPTED = Accepted("zinc", "minimum", "below", 15.0, signed_off=False)


@pytest.mark.parametrize("nutrient", ["zinc", "sodium", "protein", "vitamin_e", "copper"])
@pytest.mark.parametrize("growth", [True, False])
def test_an_ordinary_nutrient_takes_a_reason(nutrient, growth):
    assert condition(nutrient, growth=growth) == Condition.REASON


@pytest.mark.parametrize("nutrient", CRITICAL)
def test_a_critical_one_takes_a_veterinarian_and_is_never_accepted_for_growth(nutrient):
    assert condition(nutrient, growth=False) == Condition.SIGN_OFF
    assert condition(nutrient, growth=True) == Condition.NEVER


def judgement(**rows):
    """nutrient -> (minimum answer, maximum answer, amount)."""
    fixed = {"unit": "mg", "decimals": 2, "minimum": 1.0, "maximum": 9.0, "maximum_kind": "nutritional"}
    return pd.DataFrame(
        [
            fixed | {"name": key.title(), "minimum_answer": low, "maximum_answer": high, "amount": amount}
            | {"missing": ("Broth",) if "cannot_confirm" in (low, high) else ()}
            for key, (low, high, amount) in rows.items()
        ],
        index=list(rows),
    )  # fmt: skip


def test_each_open_side_is_told_apart():
    found = open_limits(
        judgement(
            zinc=("below", "meets", 0.5),
            iron=("meets", "", 2.0),
            iodine=("cannot_confirm", "cannot_confirm", math.nan),
            copper=("meets", "above", 9.5),
        ),
        growth=False,
    )
    assert [(x.key, x.word, x.amount, x.limit) for x in found] == [
        ("zinc:minimum:below", "Below minimum", 0.5, 1.0),
        ("iodine:minimum:cannot_confirm", "Cannot confirm: data missing", None, 1.0),
        ("iodine:maximum:cannot_confirm", "Cannot confirm: data missing", None, 9.0),
        ("copper:maximum:above", "Above maximum (nutritional)", 9.5, 9.0),
    ]
    assert [x.condition for x in found] == ["reason", "sign_off", "sign_off", "reason"]
    assert found[1].missing == ("Broth",)


def test_an_acceptance_covers_what_it_was_given_for():
    assert still_holds(ACCEPTED, ZINC)
    assert still_holds(ACCEPTED, replace(ZINC, amount=15.5))


@pytest.mark.parametrize(
    "changed",
    [
        {"answer": "cannot_confirm"},
        {"side": "maximum", "answer": "above"},
        {"nutrient": "iron"},
        {"amount": 14.9},
    ],
)
def test_it_lapses_when_the_answer_is_another_or_the_amount_further_off(changed):
    assert not still_holds(ACCEPTED, replace(ZINC, **changed))


def test_more_above_a_maximum_is_further_off():
    above = replace(ZINC, side="maximum", answer="above", limit=10.0)
    accepted = replace(ACCEPTED, side="maximum", answer="above")
    assert still_holds(accepted, replace(above, amount=14.0))
    assert not still_holds(accepted, replace(above, amount=15.1))


def test_a_critical_one_is_not_covered_without_the_sign_off():
    strict = replace(ZINC, condition=Condition.SIGN_OFF)
    assert not still_holds(ACCEPTED, strict)
    assert still_holds(replace(ACCEPTED, signed_off=True), strict)
    assert not still_holds(replace(ACCEPTED, signed_off=True), replace(ZINC, condition=Condition.NEVER))


def test_one_sentence_counts_and_names_them():
    assert sentence([]) == ""
    assert sentence([ZINC]) == "1 limit is open and not accepted: Zinc."
    both = [ZINC, replace(ZINC, side="maximum"), replace(ZINC, name="Iron")]
    assert sentence(both) == "3 limits are open and not accepted: Zinc, Iron."
