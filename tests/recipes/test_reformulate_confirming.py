"""What is not added or raised while a maximum cannot be confirmed; amounts by hand as in test_reformulate."""

import math

import pytest

from nutrients.adequacy import judge
from nutrients.energy_density import energy_of
from recipes.analysis import composition
from recipes.reformulate import Choice, Wishes, reformulate
from tests.recipes.invented_problems import invent, make_food, make_supplement
from tests.recipes.test_reformulate import NONE, RICE, after, foods, propose, rice, tablet

UNKNOWN = math.nan
FISH = Choice(make_food("Fish", 100, group="fish"), 0, 400)
IODINE = {"iodine": (0.4, 2.75)}


def test_a_supplement_is_not_added_while_a_food_has_no_value():
    """Rice brings 0.2 of 0.4 mg iodine; kelp would close it, but nobody knows what the fish brings."""
    table = foods(Rice=RICE | {"iodine": 0.02}, Fish={"iodine": UNKNOWN}, Kelp={"iodine": 50.0})
    proposal = propose([rice(), FISH, tablet("Kelp")], table, IODINE)
    assert after(proposal)["Kelp"] == 0
    assert not proposal.feasible
    assert proposal.withheld == (
        "iodine is not raised per 1000 kcal, nor is Fish: "
        "the maximum of iodine cannot be confirmed while Fish has no value for it.",
        "Kelp is not added: it carries iodine, "
        "and the maximum of iodine cannot be confirmed while Fish has no value for it.",
    )
    assert proposal.helps[-1].startswith("The missing values would help: with them iodine")


def test_it_is_added_where_the_food_cannot_carry_it():
    table = foods(Rice=RICE | {"iodine": 0.02}, Fish={"iodine": UNKNOWN}, Kelp={"iodine": 50.0})
    proposal = propose(
        [rice(), FISH, tablet("Kelp")], table, IODINE, negligible=frozenset({("iodine", "fish")})
    )
    assert proposal.feasible
    assert after(proposal)["Kelp"] == pytest.approx(0.4)  # 0.2 mg, of 0.1 mg a step of 0.2 g
    assert proposal.withheld == ()


def test_it_is_added_where_the_food_has_to_go():
    table = foods(Rice=RICE | {"iodine": 0.02}, Fish={"iodine": UNKNOWN}, Kelp={"iodine": 50.0})
    gone = Choice(FISH.portion, 0, 0)
    proposal = propose([rice(), gone, tablet("Kelp")], table, IODINE)
    assert proposal.feasible
    assert after(proposal) == {"Rice": 1000, "Fish": 0, "Kelp": pytest.approx(0.4)}


def test_a_present_supplement_that_carries_it_is_not_raised():
    table = foods(Rice=RICE, Fish={"iodine": UNKNOWN}, Kelp={"iodine": 50.0})
    proposal = propose([rice(), FISH, tablet("Kelp", before=0.2)], table, IODINE)
    assert after(proposal)["Kelp"] == pytest.approx(0.2)


def test_neither_the_food_without_a_value_nor_another_source_is_raised():
    """More fish or more egg would bring the zinc; fish may carry iodine, egg does."""
    table = foods(
        Rice=RICE,
        Fish={"iodine": UNKNOWN, "zinc": 5.0},
        Egg={"iodine": 0.05, "zinc": 5.0},
        Seeds={"zinc": 5.0},
    )
    egg, seeds = (Choice(make_food(name, 100), 0, 400) for name in ("Egg", "Seeds"))
    limits = IODINE | {"zinc": (25, NONE)}
    proposal = propose([rice(), FISH, egg, seeds], table, limits)
    assert after(proposal) == {"Rice": 1000, "Fish": 100, "Egg": 100, "Seeds": 300}


def test_what_must_not_rise_is_measured_per_1000_kcal():
    """Twice the energy takes twice the fish."""
    table = foods(Rice=RICE, Fish={"iodine": UNKNOWN, "zinc": 10.0})
    choices = [rice(1000, 0, 3000), FISH]
    proposal = propose(
        choices, table, {"iodine": (NONE, 2.75), "zinc": (10, NONE)}, Wishes(kcal=(2000, 2000))
    )
    assert after(proposal) == {"Rice": 2000, "Fish": 200}


def test_less_energy_cannot_be_had_where_it_would_raise_what_must_not_rise():
    table = foods(Rice=RICE, Fish={"iodine": UNKNOWN}, Tablet={"zinc": 2500.0})
    locked = Choice(FISH.portion, 100, 100)
    proposal = propose([rice(1000, 0, 1000), locked, tablet()], table, IODINE, Wishes(kcal=(500, 500)))
    assert not proposal.feasible
    assert after(proposal) == {"Rice": 1000, "Fish": 100, "Tablet": 0}
    assert all(obstacle.short is None for obstacle in proposal.obstacles)
    assert proposal.obstacles


@pytest.mark.parametrize(
    ("limits", "lacking", "said"),
    [
        ({"iodine": (NONE, 2.75)}, "iodine", "no value for iodine"),
        ({"vitamin_a": (NONE, 9000)}, "retinol", "no value for vitamin a"),
        ({"methionine_cystine": (0.1, NONE)}, "cystine", "no value for methionine cystine"),
        ({"ca_p_ratio": (1, 2)}, "phosphorus", "no value for ca p ratio"),
        ({"iodine": (NONE, 2.75)}, "nfe", "energy is not wholly known"),
    ],
)
def test_something_new_without_a_value_is_not_added(limits, lacking, said):
    given = RICE | {"methionine": 1.0, "cystine": 1.0, "calcium": 15.0, "phosphorus": 10.0}
    table = foods(Rice=given, Liver={"zinc": 50.0, lacking: UNKNOWN})
    choices = [rice(), Choice(make_food("Liver", group="organ"), 0, 200, True)]
    proposal = propose(choices, table, limits | {"zinc": (20, NONE)})
    assert after(proposal)["Liver"] == 0
    assert len(proposal.withheld) == 1
    assert proposal.withheld[0].startswith("Liver is not added")
    assert said in proposal.withheld[0]


def test_something_new_without_a_value_for_a_minimum_alone_counts_nothing_to_it():
    table = foods(Rice=RICE | {"copper": 0.3}, Liver={"zinc": 50.0, "copper": UNKNOWN})
    choices = [rice(), Choice(make_food("Liver", group="organ", step_g=1), 0, 200, True)]
    proposal = propose(choices, table, {"zinc": (20, NONE), "copper": (2, NONE)})
    assert proposal.feasible
    assert after(proposal)["Liver"] == 40


def test_what_must_be_in_but_may_not_be_added_is_refused():
    table = foods(Rice=RICE, Kelp={"iodine": UNKNOWN})
    kelp = Choice(make_supplement("Kelp"), 0.2, 4, True)
    with pytest.raises(ValueError, match=r"Kelp is not added.*Let its least amount be 0 g"):
        propose([rice(), kelp], table, IODINE)


def per_1000_kcal(question, grams):
    """Totals, completeness and energy of the amounts, by the ordinary analysis."""
    portions = [
        type(x.portion)(**(vars(x.portion) | {"grams": amount}))
        for x, amount in zip(question.choices, grams, strict=True)
        if amount > 0
    ]
    made_of = composition(portions, question.table, question.retention, question.method, question.negligible)
    return made_of, energy_of(made_of).kcal


@pytest.mark.parametrize("seed", range(40))
def test_a_proposal_judges_the_same_when_analysed_afresh(seed):
    """What is told as met is met, what is not is told; and what cannot be confirmed has not risen."""
    question = invent(seed)
    proposal = reformulate(*question.arguments())
    made_of, kcal = per_1000_kcal(question, [line.after_g for line in proposal.lines])
    judgement = judge(made_of.totals, made_of.completeness, kcal, question.profiles[0])
    told = {(obstacle.nutrient, obstacle.side) for obstacle in proposal.obstacles if obstacle.short != 0}
    for side in ("minimum", "maximum"):
        answers = judgement[f"{side}_answer"]
        not_met = {(key, side) for key in answers.index[answers.isin(["below", "above", "cannot_confirm"])]}
        assert not_met <= told
    assert not (proposal.feasible and told)
    before, kcal_before = per_1000_kcal(question, [line.before_g for line in proposal.lines])
    for key in judgement.index[judgement["maximum_answer"] == "cannot_confirm"]:
        assert made_of.totals[key] / kcal <= before.totals[key] / kcal_before * (1 + 1e-6)


@pytest.mark.parametrize("seed", range(40))
def test_a_proposal_keeps_to_what_was_asked(seed):
    question = invent(seed)
    proposal = reformulate(*question.arguments())
    for choice, line in zip(question.choices, proposal.lines, strict=True):
        assert choice.least_g - 1e-9 <= line.after_g <= choice.most_g + 1e-9
        if choice.portion.is_supplement:
            steps = line.doses / choice.portion.smallest_step
            assert steps == pytest.approx(round(steps), abs=1e-6)
    low, high = question.wishes.kcal
    _, kcal = per_1000_kcal(question, [line.after_g for line in proposal.lines])
    assert low * (1 - 1e-6) <= kcal <= high * (1 + 1e-6)
    if question.wishes.most_supplements is not None:
        used = sum(x.portion.is_supplement and x.after_g > 0 for x in proposal.lines)
        assert used <= question.wishes.most_supplements
