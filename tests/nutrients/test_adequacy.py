"""Answers of adequacy: given only where what is known decides."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from nutrients.adequacy import answer_word, counts, is_open, judge, worst_answers
from nutrients.energy_density import energy_of
from tests.nutrients.makers import NONE_NEGLIGIBLE, UNKNOWN, make_composition, make_profile

MACROS = {"protein": 50.0, "fat": 20.0, "nfe": 30.0}


def judged(foods, limits, kcal=1000.0, negligible=NONE_NEGLIGIBLE, **particulars):
    made = make_composition(foods, negligible)
    return judge(made.totals, made.completeness, kcal, make_profile(limits, **particulars))


def judged_one(amounts, limit, nutrient="zinc", kcal=1000.0, negligible=NONE_NEGLIGIBLE):
    """One nutrient in as many foods of 100 g as there are amounts, each of a group of its own."""
    foods = [(f"food {n}", f"group {n}", 100, MACROS | {nutrient: x}) for n, x in enumerate(amounts)]
    return judged(foods, {nutrient: limit}, kcal, negligible).loc[nutrient]


@pytest.mark.parametrize(
    ("amounts", "answer"),
    [
        ([20, 5], "meets"),
        ([20, 4.9], "below"),
        ([25], "meets"),
        ([25, UNKNOWN], "meets"),  # what is known reaches it already
        ([24.9, UNKNOWN], "cannot_confirm"),
        ([UNKNOWN, UNKNOWN], "cannot_confirm"),
        ([0], "below"),
    ],
)
def test_the_minimum(amounts, answer):
    row = judged_one(amounts, {"minimum": 25})
    assert row["minimum_answer"] == answer
    assert row["maximum_answer"] == ""


@pytest.mark.parametrize(
    ("amounts", "answer"),
    [
        ([20, 5], "meets"),
        ([20, 5.1], "above"),
        ([25.1, UNKNOWN], "above"),  # whatever the other holds
        ([0, UNKNOWN], "cannot_confirm"),
        ([UNKNOWN], "cannot_confirm"),
    ],
)
def test_the_maximum(amounts, answer):
    row = judged_one(amounts, {"maximum": 25})
    assert row["maximum_answer"] == answer
    assert row["minimum_answer"] == ""


def test_a_food_that_cannot_carry_it_holds_up_neither_answer():
    negligible = frozenset({("iodine", "group 1")})
    row = judged_one([0.2, UNKNOWN], {"minimum": 0.25, "maximum": 2.75}, "iodine", negligible=negligible)
    assert row["maximum_answer"] == "meets"
    assert row["minimum_answer"] == "below"
    assert row["missing"] == ("food 1",)


def test_amounts_are_per_1000_kcal_in_the_unit_of_the_limit():
    """1350 mg calcium in 1500 kcal are 0.9 g per 1000 kcal: 72 % of 1.25 g."""
    row = judged_one([1350], {"minimum": 1.25, "factor": 0.001}, "calcium", kcal=1500)
    assert row["amount"] == pytest.approx(0.9)
    assert row["percent_of_minimum"] == pytest.approx(72)
    assert row["minimum_answer"] == "below"


def test_a_row_carries_what_a_page_says():
    limit = {
        "minimum": 1.25,
        "maximum": 4.5,
        "maximum_kind": "nutritional",
        "note": "As printed.",
        "decimals": 3,
    }
    row = judged_one([2, UNKNOWN], limit, "calcium")
    assert (row["name"], row["group"], row["unit"], row["decimals"]) == ("Calcium", "a group", "g", 3)
    assert (row["source"], row["certainty"], row["maximum_certainty"]) == ("a table", "verified", "memory")
    assert (row["minimum"], row["maximum"], row["maximum_kind"]) == (1.25, 4.5, "nutritional")
    assert (row["completeness"], row["missing"], row["note"]) == (0.5, ("food 1",), "As printed.")
    assert not row["raised"]


def test_rows_stand_in_the_order_of_the_profile():
    foods = [("egg", "egg", 100, MACROS | {"zinc": 1.0, "copper": 1.0})]
    judgement = judged(foods, {"zinc": {"minimum": 1}, "fat": {"minimum": 1}, "copper": {"minimum": 1}})
    assert list(judgement.index) == ["zinc", "fat", "copper"]


def test_a_nutrient_the_tables_do_not_hold_is_unknown_everywhere():
    row = judged([("egg", "egg", 100, MACROS)], {"biotin": {"minimum": 0.0, "maximum": 5}}).loc["biotin"]
    assert (row["minimum_answer"], row["maximum_answer"]) == ("cannot_confirm", "cannot_confirm")
    assert row["missing"] == ("every ingredient",)
    assert math.isnan(row["amount"])


@pytest.mark.parametrize("kcal", [0, -100, math.nan, math.inf])
def test_nothing_is_judged_without_energy(kcal):
    with pytest.raises(ValueError, match="its energy must be above 0 kcal"):
        judged_one([1], {"minimum": 1}, kcal=kcal)


@pytest.mark.parametrize("macro", MACROS)
def test_a_minimum_is_not_confirmed_on_energy_that_is_only_partly_known(macro):
    """Too few kcal flatter every amount per 1000 kcal."""
    foods = [("mystery mix", "other", 100, MACROS | {macro: UNKNOWN, "zinc": 30.0})]
    row = judged(foods, {"zinc": {"minimum": 25}}).loc["zinc"]
    assert row["minimum_answer"] == "cannot_confirm"
    assert row["note"] == "Energy not wholly known: mystery mix."
    known_to_be_little = frozenset({(macro, "other")})
    row = judged(foods, {"zinc": {"minimum": 25}}, negligible=known_to_be_little).loc["zinc"]
    assert (row["minimum_answer"], row["note"]) == ("meets", "")


# ---- sums of two and ratios ----


@pytest.mark.parametrize(
    ("methionine", "cystine", "minimum_answer", "maximum_answer"),
    [
        (1.0, 0.6, "meets", "meets"),
        (0.8, 0.6, "below", "meets"),
        (1.8, UNKNOWN, "cannot_confirm", "cannot_confirm"),
        (2.1, UNKNOWN, "cannot_confirm", "above"),
        (UNKNOWN, UNKNOWN, "cannot_confirm", "cannot_confirm"),
    ],
)
def test_a_sum_of_two_needs_both(methionine, cystine, minimum_answer, maximum_answer):
    foods = [("egg", "egg", 100, MACROS | {"methionine": methionine, "cystine": cystine})]
    row = judged(foods, {"methionine_cystine": {"minimum": 1.6, "maximum": 2.0}}).loc["methionine_cystine"]
    assert (row["minimum_answer"], row["maximum_answer"]) == (minimum_answer, maximum_answer)


@pytest.mark.parametrize(
    ("calcium", "phosphorus", "answers"),
    [
        (1.2, 1.0, ("meets", "meets")),
        (0.9, 1.0, ("below", "meets")),
        (2.1, 1.0, ("meets", "above")),
        (2.1, UNKNOWN, ("cannot_confirm", "cannot_confirm")),
        (UNKNOWN, 1.0, ("cannot_confirm", "cannot_confirm")),
        (1.2, 0.0, ("cannot_confirm", "cannot_confirm")),
    ],
)
@pytest.mark.parametrize("kcal", [400, 1000])
def test_a_ratio_is_judged_as_such(calcium, phosphorus, answers, kcal):
    foods = [("bone", "bone", 5, MACROS | {"calcium": calcium, "phosphorus": phosphorus})]
    row = judged(foods, {"ca_p_ratio": {"minimum": 1, "maximum": 2}}, kcal).loc["ca_p_ratio"]
    assert (row["minimum_answer"], row["maximum_answer"]) == answers


# ---- vitamin A ----

VITAMIN_A = {"vitamin_a": {"unit": "IU", "minimum": 1515, "maximum": 100_000, "decimals": 0}}


def vitamin_a(retinol, beta_carotene):
    foods = [("mix", "organ", 100, MACROS | {"retinol": retinol, "beta_carotene": beta_carotene})]
    return judged(foods, VITAMIN_A).loc["vitamin_a"]


def test_the_vitamin_a_minimum_counts_beta_carotene():
    """150 ug retinol = 500 IU and 1.5 mg beta-carotene = 1249.5 IU, together 1749.5 IU."""
    row = vitamin_a(retinol=150, beta_carotene=1500)
    assert row["amount"] == pytest.approx(1749.5)
    assert row["minimum_answer"] == "meets"
    assert row["note"].startswith("Retinol 500 IU, beta-carotene 1,250 IU per 1000 kcal")


def test_the_vitamin_a_maximum_is_judged_on_retinol_alone():
    """200 mg beta-carotene = 166,600 IU do no harm; 31 mg retinol = 103,333 IU do."""
    assert vitamin_a(retinol=150, beta_carotene=200_000)["maximum_answer"] == "meets"
    assert vitamin_a(retinol=31_000, beta_carotene=0)["maximum_answer"] == "above"
    assert vitamin_a(retinol=29_000, beta_carotene=0)["maximum_answer"] == "meets"  # 96,667 IU


def test_vitamin_a_with_a_part_unknown():
    row = vitamin_a(retinol=600, beta_carotene=UNKNOWN)
    assert (row["minimum_answer"], row["maximum_answer"]) == ("meets", "meets")
    assert "beta-carotene unknown" in row["note"]
    row = vitamin_a(retinol=UNKNOWN, beta_carotene=3000)
    assert (row["minimum_answer"], row["maximum_answer"]) == ("meets", "cannot_confirm")


# ---- the words ----


def test_the_words_of_the_answers():
    assert answer_word("meets") == "Meets minimum"
    assert answer_word("below") == "Below minimum"
    assert answer_word("above", "legal") == "Above maximum (legal)"
    assert answer_word("above", "safe upper") == "Above maximum (safe upper)"
    assert answer_word("meets", "nutritional") == "Within maximum (nutritional)"
    assert answer_word("above", "") == "Above maximum"
    assert (
        answer_word("cannot_confirm")
        == answer_word("cannot_confirm", "legal")
        == ("Cannot confirm: data missing")
    )


@pytest.mark.parametrize(("answer", "kind"), [("above", "minimum"), ("below", "legal"), ("", "minimum")])
def test_an_answer_that_is_none_has_no_word(answer, kind):
    with pytest.raises(ValueError, match="is no answer for the"):
        answer_word(answer, kind)


def test_a_nutrient_counts_once_by_its_worst_answer():
    foods = [
        ("egg", "egg", 100, MACROS | {"zinc": 30.0, "copper": 1.0, "iron": UNKNOWN, "selenium": 9.0}),
        ("rice", "grain", 100, MACROS | {"zinc": 0.0, "copper": 1.0, "iron": 9.0, "selenium": UNKNOWN}),
    ]
    limits = {
        "zinc": {"minimum": 25, "maximum": 100},
        "copper": {"minimum": 3, "maximum": 7},
        "iron": {"minimum": 10},
        "selenium": {"minimum": 20, "maximum": 8},
        "fat": {},
    }
    judgement = judged(foods, limits)
    assert worst_answers(judgement).to_dict() == {
        "zinc": "meets",
        "copper": "below",
        "iron": "cannot_confirm",
        "selenium": "above",
        "fat": "",
    }
    assert is_open(judgement).to_dict() == {
        "zinc": False,
        "copper": True,
        "iron": True,
        "selenium": True,
        "fat": False,
    }
    assert counts(judgement) == {"meets": 1, "below": 1, "above": 1, "cannot_confirm": 1}


# ---- what holds for every recipe ----

AMOUNT = st.floats(min_value=0, max_value=50)
PERHAPS_UNKNOWN = st.one_of(st.just(UNKNOWN), AMOUNT)
LIMITS = {"minimum": 25, "maximum": 60}


@given(st.lists(st.tuples(PERHAPS_UNKNOWN, AMOUNT), min_size=1, max_size=6))
def test_an_answer_holds_whatever_the_gaps_hide(lines):
    """Filling every gap with any amount never contradicts an answer that was given."""
    with_gaps = judged_one([amount for amount, _ in lines], LIMITS)
    filled = judged_one([hidden if math.isnan(amount) else amount for amount, hidden in lines], LIMITS)
    for answer in ("minimum_answer", "maximum_answer"):
        assert filled[answer] != "cannot_confirm"
        assert with_gaps[answer] in (filled[answer], "cannot_confirm")


@given(st.lists(st.tuples(PERHAPS_UNKNOWN, PERHAPS_UNKNOWN, AMOUNT), min_size=1, max_size=6))
def test_an_answer_to_a_ratio_holds_whatever_the_gaps_hide(lines):
    def answers(calcium_and_phosphorus):
        foods = [
            (f"food {n}", "other", 100, MACROS | {"calcium": calcium, "phosphorus": phosphorus})
            for n, (calcium, phosphorus) in enumerate(calcium_and_phosphorus)
        ]
        return judged(foods, {"ca_p_ratio": {"minimum": 1, "maximum": 2}}).loc["ca_p_ratio"]

    with_gaps = answers((calcium, phosphorus) for calcium, phosphorus, _ in lines)
    filled = answers(tuple(hidden if math.isnan(x) else x for x in pair) for *pair, hidden in lines)
    for answer in ("minimum_answer", "maximum_answer"):
        assert with_gaps[answer] in (filled[answer], "cannot_confirm")


@given(
    amounts=st.lists(st.tuples(PERHAPS_UNKNOWN, st.floats(1, 500)), min_size=1, max_size=5),
    factor=st.floats(0.01, 100),
)
def test_a_larger_batch_of_the_same_is_judged_the_same(amounts, factor):
    def judgement(times):
        foods = [
            (
                f"food {n}",
                "other",
                grams * times,
                {key: x * grams * times / 100 for key, x in (MACROS | {"zinc": zinc}).items()},
            )
            for n, (zinc, grams) in enumerate(amounts)
        ]
        made = make_composition(foods)
        kcal = energy_of(made).kcal
        return judge(made.totals, made.completeness, kcal, make_profile({"zinc": LIMITS})).loc["zinc"]

    one, other = judgement(1), judgement(factor)
    assert other["amount"] == pytest.approx(one["amount"], rel=1e-9, nan_ok=True)
    assume(all(abs(one["amount"] - limit) > 1e-6 for limit in LIMITS.values()))
    for column in ("minimum_answer", "maximum_answer", "missing"):
        assert other[column] == one[column]


def test_rounding_noise_is_not_a_shortage():
    """0.1 + 0.2 is 0.30000000000000004 and 0.7 + 0.1 is 0.7999999999999999 in floating point."""
    assert judged_one([0.1, 0.2], {"maximum": 0.3})["maximum_answer"] == "meets"
    assert judged_one([0.7, 0.1], {"minimum": 0.8})["minimum_answer"] == "meets"
