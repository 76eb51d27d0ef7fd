"""Small reformulations worked out by hand. A gram of rice (starch) or meat (protein) brings 1 kcal."""

import math

import pandas as pd
import pytest

from recipes.reformulate import Band, Choice, Wishes, reformulate
from tests.recipes.invented_problems import make_food, make_limits, make_supplement

NONE = math.nan
NO_RETENTION = pd.DataFrame(
    index=pd.MultiIndex.from_tuples([("grain", "none")]), columns=["protein"], dtype=float
)
EMPTY = {
    "protein": 0.0,
    "fat": 0.0,
    "nfe": 0.0,
    "zinc": 0.0,
    "copper": 0.0,
    "iodine": 0.0,
    "calcium": 0.0,
    "phosphorus": 0.0,
    "arginine": 0.0,
    "methionine": 0.0,
    "cystine": 0.0,
    "retinol": 0.0,
    "beta_carotene": 0.0,
    "linoleic_acid": 0.0,
    "arachidonic_acid": 0.0,
    "alpha_linolenic_acid": 0.0,
    "epa": 0.0,
    "dha": 0.0,
    "vitamin_e": 0.0,
    "polyunsaturated_fat": 0.0,
    "phenylalanine": 0.0,
    "tyrosine": 0.0,
}
RICE, MEAT, TABLET = {"nfe": 25.0}, {"protein": 25.0}, {}


def foods(**amounts) -> pd.DataFrame:
    """Amounts per 100 g; what is not given is 0."""
    return pd.DataFrame.from_dict({name: EMPTY | given for name, given in amounts.items()}, orient="index")


def rice(grams: float = 1000.0, least: float | None = None, most: float | None = None) -> Choice:
    """The same amount stays unless there are bounds."""
    least, most = grams if least is None else least, grams if most is None else most
    return Choice(make_food("Rice", grams), least, most)


def tablet(name: str = "Tablet", most: float = 4.0, before: float = 0.0, **particulars) -> Choice:
    return Choice(make_supplement(name, before, **particulars), 0.0, most, before == 0)


def propose(choices, table, limits, wishes=Wishes(), negligible=frozenset(), **profile):  # noqa: B008
    profiles = [make_limits(limits, **profile)]
    return reformulate(choices, table, NO_RETENTION, "simmered", profiles, negligible, wishes)


def after(proposal) -> dict[str, float]:
    return {line.portion.food: line.after_g for line in proposal.lines}


@pytest.mark.parametrize(("step", "doses"), [(1.0, 2.0), (0.5, 2.0), (0.25, 1.75)])
def test_a_tablet_is_given_in_its_smallest_steps(step, doses):
    """1000 kcal need 17 mg zinc, a tablet of 0.4 g holds 10 mg: 1.7 tablets."""
    table = foods(Rice=RICE, Tablet={"zinc": 2500.0})
    proposal = propose([rice(), tablet(smallest_step=step)], table, {"zinc": (17, NONE)})
    line = proposal.lines[1]
    assert proposal.feasible
    assert line.doses == doses
    assert line.after_g == pytest.approx(doses * 0.4)
    assert line.before_g == 0
    assert line.why == "zinc"


def test_what_meets_everything_stays_as_it_is():
    table = foods(Rice=RICE | {"zinc": 2.0}, Tablet={"zinc": 2500.0})
    proposal = propose([rice(1000, 500, 1500), tablet()], table, {"zinc": (18, NONE)})
    assert proposal.feasible
    assert after(proposal) == {"Rice": 1000, "Tablet": 0}


def test_meat_replaces_as_much_rice_as_the_protein_asks_for():
    """50 g protein per 1000 kcal at 25 g per 100 g: 200 of 1000 g are meat; 960 to 1000 g are the energy."""
    table = foods(Rice=RICE, Meat=MEAT)
    choices = [rice(900, 0, 2000), Choice(make_food("Meat", 100), 0, 2000)]
    proposal = propose(choices, table, {"protein": (50, NONE)}, Wishes(kcal=(1000, 1000)))
    assert proposal.feasible
    assert after(proposal) == {"Rice": 800, "Meat": 200}


def test_moved_foods_come_in_their_own_steps_where_everything_holds():
    """48 g protein: 192 g of meat, and in steps of 5 g 195 g."""
    table = foods(Rice=RICE, Meat=MEAT)
    choices = [rice(900, 0, 2000), Choice(make_food("Meat", 100), 0, 2000)]
    proposal = propose(choices, table, {"protein": (48, NONE)}, Wishes(kcal=(990, 1010)))
    assert proposal.feasible
    assert after(proposal)["Meat"] == 195
    assert after(proposal)["Rice"] % 5 == 0


def test_vitamin_a_is_met_with_carotene_when_its_maximum_stops_retinol():
    """2000 IU asked for, 900 IU at most of retinol. A gram of liver: 3 ug = 10 IU, of carrot: 8.33 IU."""
    table = foods(Rice=RICE, Liver={"retinol": 300.0}, Carrot={"beta_carotene": 1000.0})
    choices = [rice(), *(Choice(make_food(x), 0, 200, True) for x in ("Liver", "Carrot"))]
    proposal = propose(choices, table, {"vitamin_a": (2000, 900)})
    assert proposal.feasible
    retinol = after(proposal)["Liver"] * 3 / 0.3
    carotene = after(proposal)["Carrot"] * 8.33
    assert retinol <= 900
    assert retinol + carotene >= 2000


def test_the_minimum_of_arginine_rises_with_the_protein():
    """100 g protein, 50 above 50: 1 g + 0.01 x 50 = 1.5 g; a tablet holds 0.2 g: 7.5, so 8 tablets."""
    table = foods(Meat=MEAT, Rice=RICE, Tablet={"arginine": 50.0})
    choices = [Choice(make_food("Meat", 400), 400, 400), rice(600), tablet(smallest_step=1)]
    limits = {"protein": (50, NONE), "arginine": (1, NONE)}
    assert propose(choices, table, limits, arginine_per_g_protein=0.01).lines[2].doses == 8
    assert propose(choices, table, limits).lines[2].doses == 5


def test_calcium_follows_phosphorus():
    """800 mg phosphorus and Ca:P at least 1.25: 1000 mg calcium, of 500 mg a tablet."""
    table = foods(Rice=RICE | {"phosphorus": 80.0}, Tablet={"calcium": 125_000.0})
    proposal = propose([rice(), tablet(smallest_step=1)], table, {"ca_p_ratio": (1.25, 2)})
    assert proposal.lines[1].doses == 2


def test_a_sum_counts_both_parts():
    """Methionine 0.6 g and cystine 0.4 g of 1.2 g: a tablet with 0.1 g of each is enough."""
    table = foods(Rice=RICE | {"methionine": 0.06, "cystine": 0.04}, Tablet={"methionine": 26, "cystine": 26})
    proposal = propose([rice(), tablet(smallest_step=1)], table, {"methionine_cystine": (1.2, NONE)})
    assert proposal.lines[1].doses == 1


def test_a_margin_raises_minima():
    """17 mg + 10 % = 18.7 mg in steps of 5 mg: 20 mg; 15 mg need 20 mg with it, and 15 mg without."""
    table = foods(Rice=RICE, Tablet={"zinc": 2500.0})
    for margin, doses in ((0.0, 1.5), (0.1, 2.0)):
        wishes = Wishes(margin=margin)
        assert propose([rice(), tablet()], table, {"zinc": (14.5, NONE)}, wishes).lines[1].doses == doses


def test_a_band_is_kept():
    """Fat, at 9 kcal a gram, at least 27 g per 1000 kcal: 30 g of oil bring 270 of 1000 kcal."""
    table = foods(Rice=RICE, Oil={"fat": 100.0})
    choices = [rice(1000, 0, 1000), Choice(make_food("Oil", step_g=1), 0, 100, True)]
    wishes = Wishes(bands=(Band("fat", 27.5, 30),), kcal=(990, 1010))
    proposal = propose(choices, table, {"zinc": (NONE, 100)}, wishes)
    grams = after(proposal)
    kcal = grams["Rice"] + 9 * grams["Oil"]
    assert proposal.feasible
    assert 27.5 <= grams["Oil"] * 1000 / kcal <= 30


def test_at_most_so_many_supplements():
    """Zinc and copper alone, each in a tablet of its own, or both in one that changes more."""
    table = foods(
        Rice=RICE, Zinc={"zinc": 2500.0}, Copper={"copper": 500.0}, Both={"zinc": 1250.0, "copper": 250.0}
    )
    choices = [rice(), *(tablet(x, smallest_step=1) for x in ("Zinc", "Copper", "Both"))]
    proposal = propose(choices, table, {"zinc": (10, 40), "copper": (2, 8)}, Wishes(most_supplements=1))
    assert proposal.feasible
    assert [line.doses for line in proposal.lines[1:]] == [0, 0, 2]


def test_what_falls_short_without_more_supplements_says_so():
    table = foods(Rice=RICE, Zinc={"zinc": 2500.0}, Copper={"copper": 500.0})
    choices = [rice(), tablet("Zinc"), tablet("Copper")]
    proposal = propose(choices, table, {"zinc": (9, NONE), "copper": (1, NONE)}, Wishes(most_supplements=1))
    assert not proposal.feasible
    assert {obstacle.side for obstacle in proposal.obstacles} == {"minimum", "supplements"}
    assert "with 2 instead of 1" in proposal.obstacles[-1].sentence


def test_the_limits_that_cannot_be_met_together_are_named():
    """Zinc 20 mg and copper at most 3 mg of a tablet with 10 and 2 mg: 1.5 tablets, 5 mg short of zinc."""
    table = foods(Rice=RICE, Tablet={"zinc": 2500.0, "copper": 500.0})
    proposal = propose([rice(), tablet()], table, {"zinc": (20, NONE), "copper": (NONE, 3.001)})
    zinc, copper = proposal.obstacles
    assert not proposal.feasible
    assert after(proposal)["Tablet"] == pytest.approx(0.6)
    assert (zinc.nutrient, zinc.side, zinc.unit) == ("zinc", "minimum", "mg per 1000 kcal")
    assert zinc.short == pytest.approx(5)
    assert "together with copper (maximum, Invented)" in zinc.sentence
    assert (copper.nutrient, copper.side, copper.short) == ("copper", "maximum", 0)


def test_what_would_help_most_is_said():
    """20 mg zinc need 2 tablets, 0.8 g; 0.4 g are allowed."""
    table = foods(Rice=RICE, Tablet={"zinc": 2500.0})
    proposal = propose([rice(), tablet(most=0.4)], table, {"zinc": (20, NONE)})
    assert proposal.obstacles[0].short == pytest.approx(10)
    assert proposal.helps[0] == "Tablet: about 0.8 g instead of at most 0.4 g would meet zinc."
    assert proposal.lines[1].why == "zinc; held at its most"


def test_the_cost_is_held():
    """Of 20 mg zinc, 10 mg cost 4 in one tablet and 1 in another that changes twice as much."""
    table = foods(Rice=RICE, Dear={"zinc": 2500.0}, Cheap={"zinc": 1250.0, "copper": 1.0})
    priced = [
        Choice(make_food("Rice", 1000), 1000, 1000, cost_per_kg=0.0),
        Choice(make_supplement("Dear"), 0, 4, True, cost_per_kg=10_000),
        Choice(make_supplement("Cheap"), 0, 4, True, cost_per_kg=1_250),
    ]
    limits = {"zinc": (19, NONE)}
    assert after(propose(priced, table, limits, Wishes(cost_ceiling=10)))["Dear"] == pytest.approx(0.8)
    held = propose(priced, table, limits, Wishes(cost_ceiling=2.1))
    assert held.feasible
    assert after(held) == {"Rice": 1000, "Dear": 0, "Cheap": pytest.approx(1.6)}


def test_a_cost_that_is_not_known_is_no_cost_of_nothing():
    table = foods(Rice=RICE | {"zinc": 2.0}, Tablet={"zinc": 2500.0})
    proposal = propose([rice(), tablet()], table, {"zinc": (10, NONE)}, Wishes(cost_ceiling=5))
    (cost,) = proposal.obstacles
    assert not proposal.feasible
    assert (cost.side, cost.short) == ("cost", None)
    assert "for want of the cost of Rice" in cost.sentence


def test_energy_that_cannot_be_had_leaves_everything_as_it_is():
    table = foods(Rice=RICE, Tablet={"zinc": 2500.0})
    proposal = propose([rice(), tablet()], table, {"zinc": (10, NONE)}, Wishes(kcal=(2000, 2100)))
    assert not proposal.feasible
    assert after(proposal) == {"Rice": 1000, "Tablet": 0}
    assert proposal.obstacles[0].side == "kcal"
    assert "between 2,000 and 2,100 kcal" in proposal.obstacles[0].sentence


def test_without_a_wish_the_energy_stays():
    """Zinc could be met at half the rice; 5 % less is as far as it goes."""
    table = foods(Rice=RICE, Tablet={"zinc": 2500.0})
    proposal = propose([rice(1000, 0, 1000), tablet(most=0.4)], table, {"zinc": (20, NONE)})
    assert after(proposal)["Rice"] >= 950


def test_no_proposal_from_nothing():
    table = foods(Rice=RICE)
    with pytest.raises(ValueError, match="say how much energy"):
        propose([Choice(make_food("Rice"), 0, 1000, True)], table, {"protein": (NONE, 100)})


@pytest.mark.parametrize(
    ("choices", "wishes", "sentence"),
    [
        ([rice(1000, 900, 800)], Wishes(), "the least amount, 900 g, is above the most, 800 g"),
        ([rice(1000, -1, 800)], Wishes(), "0 g or more"),
        ([rice(1000, 0, math.inf)], Wishes(), "0 g or more"),
        ([rice()], Wishes(), "Nothing may move"),
        ([rice(1000, 0, 2000)], Wishes(kcal=(1200, 1000)), "upwards"),
        ([rice(1000, 0, 2000)], Wishes(cost_ceiling=-1), "cost ceiling"),
        ([rice(1000, 0, 2000)], Wishes(margin=1.0), "margin"),
        ([rice(1000, 0, 2000)], Wishes(margin=0.5), "zinc.*with a margin of 50%.*above the most"),
        ([rice(1000, 0, 2000)], Wishes(bands=(Band("fat", 30, 20),)), "fat.*30, is above the most, 20"),
        ([rice(1000, 0, 2000)], Wishes(most_supplements=-1), "0 or more"),
        (
            [rice(), Choice(make_supplement("Tablet"), 0.2, 1)],
            Wishes(most_supplements=0),
            "1 supplements have",
        ),
        ([Choice(make_supplement("Tablet", 0.2), 0.25, 0.35)], Wishes(), "no whole step"),
        ([tablet(grams_per_dose_unit=None)], Wishes(), "no dose unit"),
    ],
)
def test_what_contradicts_itself_is_refused(choices, wishes, sentence):
    table = foods(Rice=RICE, Tablet={"zinc": 2500.0})
    with pytest.raises(ValueError, match=sentence):
        propose(choices, table, {"zinc": (20, 50)}, wishes)
