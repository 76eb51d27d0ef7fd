"""What falls below minimum when something is left out, worked out by hand on an invented batch.

Meat 500 g: 20 g protein, 5 g fat, 0.2 g calcium a hundred grams; oil 20 g: all fat; chalk 5 g: 40 g calcium.
Energy 4/9/4: meat 4 x 100 + 9 x 25 = 625 kcal, oil 180 kcal, chalk none: 805 kcal.
"""

import math

import pandas as pd
import pytest

from nutrients.adequacy import ProfileLimits
from recipes.analysis import Portion
from recipes.consequences import in_short, in_words
from recipes.omissions import NOTHING_LEFT, if_omitted
from tests.nutrients.makers import make_profile

UNKNOWN = math.nan
COLUMNS = ["protein", "fat", "nfe", "calcium", "zinc", "iodine"]
TABLE = pd.DataFrame.from_dict(
    {
        "meat": [20, 5, 0, 0.2, 4, UNKNOWN],
        "fat meat": [18, 20, 0, 0.2, 4, UNKNOWN],
        "oil": [0, 100, 0, 0, 0, 0],
        "chalk": [0, 0, 0, 40, 0, 0],
        "salt": [0, 0, 0, 0, 0, 50],
    },
    orient="index",
    columns=COLUMNS,
    dtype=float,
)
NO_FACTORS = pd.DataFrame(
    index=pd.MultiIndex.from_tuples([], names=["g", "m"]), columns=["zinc"], dtype=float
)
MEAT = Portion("meat", 500, "in_the_pot", "muscle meat", "beef", "raw")
FAT_MEAT = Portion("fat meat", 1, "in_the_pot", "muscle meat", "beef", "raw")
OIL = Portion("oil", 20, "in_the_bowl", "plant oil", "", "as sold")
CHALK = Portion("chalk", 5, "cooled_batch", "mineral supplement", "", "as sold", is_supplement=True)
SALT = Portion("salt", 1, "cooled_batch", "salt", "", "as sold", is_supplement=True)


def limits(**changed) -> ProfileLimits:
    """Per 1000 kcal. The batch holds 124 g protein, 56 g fat, 3.7 g calcium, 25 zinc, 0.62 iodine known."""
    return make_profile(
        {
            "protein": {"minimum": 100},
            "fat": {"minimum": 40, "maximum": 90, "maximum_kind": "nutritional"},
            "calcium": {"minimum": 1.25, "maximum": 6.25, "maximum_kind": "nutritional"},
            "zinc": {"minimum": 20},
            "iodine": {"minimum": 0.25},
        }
        | changed
    )


def omitted(portions=(MEAT, OIL, CHALK, SALT), profile=None, **more):
    return if_omitted(list(portions), TABLE, NO_FACTORS, "baked", profile or limits(), **more)


def line(found, food):
    return next(each for each in found.lines if each.food == food)


def slip(found, what):
    return next(each.outcome for each in found.slips if each.what == what)


def told(outcome):
    return [(each.key, each.side, each.before, each.after) for each in outcome.worse]


def test_the_energy_is_that_of_what_is_left():
    found = omitted()
    assert found.kcal == pytest.approx(805)
    assert line(found, "oil").without.kcal == pytest.approx(625)
    assert line(found, "oil").without.kcal_change_percent == pytest.approx(-100 * 180 / 805)
    assert line(found, "oil").half.kcal == pytest.approx(715)
    assert line(found, "chalk").without.kcal_change_percent == 0


def test_calcium_falls_below_the_minimum_without_its_supplement():
    # 1 g of 500 g meat in 805 kcal: 1.242 g per 1000 kcal of 1.25; with the chalk 3 g: 3.727
    chalk = line(omitted(), "chalk")
    [calcium] = chalk.without.worse
    assert told(chalk.without) == [("calcium", "minimum", "meets", "below")]
    assert calcium.amount_before == pytest.approx(3 / 0.805)
    assert calcium.amount_after == pytest.approx(1 / 0.805)
    assert calcium.percent_after == pytest.approx(100 * 1 / 0.805 / 1.25)
    assert told(chalk.half) == []  # 2 g: 2.48 is still above 1.25


def test_where_nothing_gets_worse_the_minimum_that_falls_most_is_named():
    # half the chalk: 2 g calcium of 3 in the same energy, a third less
    most = line(omitted(), "chalk").half.falls_most
    assert (most.key, most.side, most.after) == ("calcium", "minimum", "meets")
    assert most.amount_after / most.amount_before == pytest.approx(2 / 3)
    assert most.percent_after == pytest.approx(100 * 2 / 0.805 / 1.25)
    # half the salt: the iodine that is known falls by half
    assert line(omitted(), "salt").half.falls_most.key == "iodine"
    assert line(omitted(), "chalk").without.falls_most is None  # something gets worse


def test_without_oil_what_is_left_is_denser():
    # protein 160 g, zinc 32 per 1000 kcal: more than before; fat 25 g in 625 kcal is 40, exactly met
    assert told(line(omitted(), "oil").without) == []
    more_fat = limits(fat={"minimum": 41})
    assert told(line(omitted(profile=more_fat), "oil").without) == [("fat", "minimum", "meets", "below")]


def test_what_cannot_be_confirmed_any_more_is_told():
    # iodine: 0.5 known of the salt; the meat has no value, so without salt nothing is confirmed
    assert told(line(omitted(), "salt").without) == [("iodine", "minimum", "meets", "cannot_confirm")]
    [iodine] = line(omitted(), "salt").without.worse
    assert iodine.percent_after == 0  # the oil and the chalk are known to hold none


def test_what_is_newly_above_a_maximum_is_told():
    # double oil: 65 g fat in 985 kcal is 66 g; the maximum is set between 55.9 and 66
    tight = limits(fat={"minimum": 40, "maximum": 60, "maximum_kind": "nutritional"})
    doubled = slip(omitted(profile=tight), "double oil")
    [fat] = [each for each in doubled.worse if each.key == "fat"]
    assert (fat.side, fat.after, fat.kind) == ("maximum", "above", "nutritional")
    assert fat.amount_after == pytest.approx(65 / 0.985)


def test_a_limit_that_was_open_is_told_again_when_it_moves_further_off():
    # zinc 20 in 805 kcal: 24.8 of 30 asked for; without meat all of it is gone
    short = limits(zinc={"minimum": 30})
    [zinc] = [each for each in line(omitted(profile=short), "meat").without.worse if each.key == "zinc"]
    assert (zinc.before, zinc.after, zinc.is_new) == ("below", "below", False)
    # without salt nothing moves, so nothing is told of zinc
    assert "zinc" not in {each.key for each in line(omitted(profile=short), "salt").without.worse}


def test_all_lines_of_a_food_go_together():
    twice = [MEAT, Portion("oil", 12, "in_the_pot", "plant oil", "", "as sold"), OIL]
    oil = line(omitted(twice), "oil")
    assert oil.grams == 32
    assert oil.without.kcal == pytest.approx(625)


def test_the_common_slips():
    found = omitted(fatter={"meat": FAT_MEAT})
    assert [each.what for each in found.slips] == [
        "all supplements forgotten",
        "the calcium forgotten: chalk",
        "double oil",
        "fat meat instead of meat",
    ]
    assert told(slip(found, "all supplements forgotten")) == [
        ("calcium", "minimum", "meets", "below"),
        ("iodine", "minimum", "meets", "cannot_confirm"),
    ]
    # 90 g protein and 100 g fat of the fat meat, 20 g of the oil: 360 + 1080 kcal
    assert slip(found, "fat meat instead of meat").kcal == pytest.approx(1440)
    below = {each.key: each.amount_after for each in slip(found, "fat meat instead of meat").worse}
    assert below["protein"] == pytest.approx(90 / 1.44)


def test_what_is_open_as_written_is_named():
    assert omitted().open == ()
    assert omitted(profile=limits(zinc={"minimum": 30})).open == ("Zinc",)


def test_what_the_food_has_no_value_for_is_named():
    assert line(omitted(), "meat").unknown == ("Iodine",)
    assert line(omitted(), "oil").unknown == ()
    spared = omitted(negligible=frozenset({("iodine", "muscle meat")}))
    assert line(spared, "meat").unknown == ()


def test_when_nothing_is_left_nothing_is_judged():
    [meat] = omitted([MEAT]).lines
    assert meat.without.problem == NOTHING_LEFT
    assert meat.without.worse == ()
    meat, chalk = omitted([MEAT, CHALK]).lines
    assert meat.without.problem == NOTHING_LEFT  # chalk holds no energy
    with pytest.raises(ValueError, match="no energy"):
        omitted([CHALK])


def test_what_is_only_known_now_has_not_fallen():
    # zinc of the oil is not known, so 24.8 of 33 cannot be confirmed; without the oil it is 32 of 33: below,
    # yet more than before
    table = TABLE.copy()
    table.loc["oil", "zinc"] = UNKNOWN
    short = limits(zinc={"minimum": 33})
    found = if_omitted([MEAT, OIL, CHALK, SALT], table, NO_FACTORS, "baked", short)
    assert "Zinc" in found.open
    assert "zinc" not in {each.key for each in line(found, "oil").without.worse}


def test_the_limits_may_rise_as_the_energy_falls():
    # Half the meat: 10 zinc in 312.5 + 180 kcal are 20.3 per 1000 kcal, enough for the profile's 20. A dog
    # that needs 19 in a batch needs 38.6 per 1000 kcal of it.
    assert told(line(omitted(), "meat").half) == []
    of_dog = omitted(profile=lambda kcal: limits(zinc={"minimum": 19 * 1000 / kcal}))
    [zinc] = line(of_dog, "meat").half.worse
    assert (zinc.key, zinc.after) == ("zinc", "below")
    assert zinc.limit == pytest.approx(19 / 0.4925)
    assert told(line(of_dog, "oil").without) == []  # less energy, but all the zinc


def test_vitamin_a_above_its_maximum_is_told_by_its_retinol():
    """Retinol 300 ug are 1000 IU; the carotene counts for the minimum alone."""
    table = pd.DataFrame(
        {"protein": [25.0], "fat": [0.0], "nfe": [0.0], "retinol": [300.0], "beta_carotene": [10_000.0]},
        index=["liver"],
    )
    liver = Portion("liver", 100, "in_the_pot", "fish oil", "", "raw")
    filler = Portion("filler", 100, "in_the_pot", "grain", "", "raw")
    table.loc["filler"] = [225.0, 0, 0, 0, 0]
    # 100 kcal + 900 kcal: retinol 1000 IU; doubled 2000 IU in 1100 kcal
    profile = make_profile({"vitamin_a": {"unit": "IU", "maximum": 1500, "maximum_kind": "nutritional"}})
    [doubled] = if_omitted([liver, filler], table, NO_FACTORS, "baked", profile).slips
    [vitamin_a] = doubled.outcome.worse
    assert vitamin_a.amount_before == pytest.approx(1000)
    assert vitamin_a.amount_after == pytest.approx(2000 / 1.1)
    assert vitamin_a.percent_after == pytest.approx(100 * 2000 / 1.1 / 1500)


def test_it_is_said_in_a_sentence():
    found = omitted()
    assert in_words(slip(found, "all supplements forgotten").worse, 3) == (
        "calcium falls below the minimum; iodine cannot be confirmed any more"
    )
    assert in_words((), 3) == ""
    assert in_short(["a", "b"], 3) == "a and b"
    assert in_short(["a", "b", "c", "d", "e"], 3) == "a, b and 3 more"
