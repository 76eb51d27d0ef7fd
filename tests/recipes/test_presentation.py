"""The figures and words of a recipe's page, against a batch worked out by hand. No database.

Hen and groats hold 25 g protein, 6 g fat and 30 g NFE: 25 x 4 + 6 x 9 + 30 x 4 = 100 + 54 + 120 = 274 kcal.
"""

from types import SimpleNamespace

import pytest

from nutrients.adequacy import judge
from nutrients.energy_density import energy_of
from recipes import presentation
from recipes.analysis import Analysis, Portion
from recipes.basis import moisture_percent
from tests.nutrients.makers import UNKNOWN, make_composition, make_profile

HEN = {
    "protein": 20,
    "fat": 5,
    "nfe": 0,
    "ash": 1,
    "fiber": 0,
    "copper": 0.1,
    "calcium": 10,
    "phosphorus": 200,
}
GROATS = {
    "protein": 5,
    "fat": 1,
    "nfe": 30,
    "ash": 1,
    "fiber": 4,
    "copper": 0.2,
    "calcium": 30,
    "phosphorus": 50,
}
PROFILE = make_profile({"protein": {"minimum": 45}, "calcium": {"minimum": 200}, "taurine": {"minimum": 1}})


def make_analysis(hen=HEN, groats=GROATS, cooked_is_estimate=True, bowl_g=0.0):
    """100 g hen and 50 g groats, cooked with water to 200 g."""
    made_of = make_composition([("hen", "meat", 100, hen), ("groats", "grain", 50, groats)])
    energy = energy_of(made_of)
    return Analysis(
        composition=made_of,
        energy=energy,
        judgement=judge(made_of.totals, made_of.completeness, energy.kcal, PROFILE),
        raw_g=150,
        cooked_g=200,
        cooked_is_estimate=cooked_is_estimate,
        bowl_g=bowl_g,
    )


def named(facts, name):
    return next(fact for fact in facts if fact.name == name)


def test_energy_is_told_per_100_g_as_fed():
    found = presentation.figures(make_analysis())
    assert found.kcal_per_100g == pytest.approx(137)  # 274 kcal in 200 g
    assert found.kj_per_100g == pytest.approx(573.208)  # x 4.184


def test_what_goes_in_the_bowl_is_fed_as_well():
    assert presentation.figures(make_analysis(bowl_g=74)).kcal_per_100g == pytest.approx(100)


def test_the_parts_of_the_energy_lie_end_to_end():
    protein, fat, carbohydrate = presentation.figures(make_analysis()).energy
    assert [part.percent for part in (protein, fat, carbohydrate)] == pytest.approx(
        [100 / 2.74, 54 / 2.74, 120 / 2.74]
    )
    assert (protein.begins, fat.begins) == pytest.approx((0, 100 / 2.74))
    assert carbohydrate.begins + carbohydrate.percent == pytest.approx(100)


def test_the_sentence_says_about_while_the_cooked_weight_is_an_estimate():
    estimated = presentation.figures(make_analysis())
    weighed = presentation.figures(make_analysis(cooked_is_estimate=False))
    said = "137 kcal in 100 g, 36 % of energy from protein."
    assert presentation.sentence("Hen pot", "baked", estimated) == f"Hen pot, baked: about {said}"
    assert presentation.sentence("Hen pot", "baked", weighed) == f"Hen pot, baked: {said}"
    assert "nothing in it yet" in presentation.sentence("Hen pot", "baked", None)


def test_the_sentence_says_about_while_some_energy_is_unknown():
    found = presentation.figures(make_analysis(hen=HEN | {"fat": UNKNOWN}, cooked_is_estimate=False))
    assert found.about


@pytest.mark.parametrize(
    ("counted", "said"),
    [
        ({"meets": 38, "below": 0, "above": 0, "cannot_confirm": 0}, "meets 38 of 38"),
        (
            {"meets": 36, "below": 0, "above": 0, "cannot_confirm": 2},
            "meets 36 of 38, 2 cannot be confirmed",
        ),
        (
            {"meets": 1, "below": 2, "above": 3, "cannot_confirm": 4},
            "meets 1 of 10, 2 below minimum, 3 above maximum, 4 cannot be confirmed",
        ),
    ],
)
def test_the_counts_are_told_in_words(counted, said):
    assert presentation.verdict(counted) == said


def test_the_verdict_counts_what_is_open():
    # protein 25 g x 1000 / 274 = 91 meets; calcium 40 x 1000 / 274 = 146 below 200; taurine has no value
    found = presentation.figures(make_analysis())
    assert found.verdict == "meets 1 of 3, 1 below minimum, 1 cannot be confirmed"
    assert found.open == 2


def test_moisture_is_what_is_no_dry_matter():
    # 25 protein + 6 fat + 2 ash + 4 fibre + 30 NFE = 67 g in 200 g
    assert moisture_percent(make_analysis()) == pytest.approx(66.5)


def test_moisture_is_unknown_while_a_part_of_the_dry_matter_is():
    analysis = make_analysis(groats=GROATS | {"ash": UNKNOWN})
    moisture = named(presentation.facts(analysis), "Moisture")
    assert (moisture.value, moisture.known) == ("unknown", False)


def test_ratios_and_fibre_are_told():
    facts = presentation.facts(make_analysis())
    assert named(facts, "Fibre, total dietary").value == "14.6 g per 1000 kcal"  # 4 x 1000 / 274
    assert named(facts, "Calcium : phosphorus").value == "0.16 : 1"  # 40 / 250


def test_a_sum_of_which_a_part_is_unknown_is_told_as_at_least():
    analysis = make_analysis(hen=HEN | {"copper": UNKNOWN})
    fact = presentation.per_1000_kcal(analysis, "copper", "Copper", "mg", 2)
    assert fact.value == "at least 0.73 mg per 1000 kcal"  # 0.2 x 1000 / 274
    assert fact.note == "no value in hen"


def test_a_ratio_of_which_a_part_is_unknown_is_unknown():
    facts = presentation.facts(make_analysis(hen=HEN | {"phosphorus": UNKNOWN}))
    ratio = named(facts, "Calcium : phosphorus")
    assert (ratio.value, ratio.note) == ("unknown", "no value in hen")


@pytest.mark.parametrize(("level", "above"), [(1.0, True), (1.2, False)])
def test_a_watched_nutrient_is_shown_always_and_warned_of_above_its_level(level, above):
    # copper 0.3 x 1000 / 274 = 1.095
    copper = SimpleNamespace(key="copper", name="Copper", unit="mg")
    levels = [SimpleNamespace(nutrient=copper, per_1000_kcal=level, text="Much copper.", source="invented")]
    [watched] = presentation.watched(make_analysis(), levels)
    assert watched.above is above
    assert watched.fact.value == "1.09 mg per 1000 kcal"
    assert watched.fact.note == f"to watch from {level:g} mg"


def make_line(food):
    return SimpleNamespace(food=food, get_when_display=lambda: "in the pot")


def portion(**particulars):
    defaults = {"when": "in_the_pot", "group": "", "retention_group": "", "state": "raw"}
    return Portion(**{"food": "hen", "grams": 100, **defaults, **particulars})


def test_each_ingredient_tells_its_share_of_the_energy():
    # hen: 20 x 4 + 5 x 9 = 125 kcal; groats: 5 x 4 + 1 x 9 + 30 x 4 = 149 kcal
    lines, portions = [make_line("hen"), make_line("groats")], [portion(), portion(food="groats", grams=50)]
    rows = presentation.ingredient_rows(lines, portions, make_analysis())
    assert [row.energy_percent for row in rows] == pytest.approx([125 / 2.74, 149 / 2.74])


def test_an_unknown_energy_is_no_share():
    analysis = make_analysis(hen=HEN | {"fat": UNKNOWN})
    lines, portions = [make_line("hen"), make_line("groats")], [portion(), portion(food="groats", grams=50)]
    assert presentation.ingredient_rows(lines, portions, analysis)[0].energy_percent is None


@pytest.mark.parametrize(
    ("grams", "said"), [(1250, "1,250"), (12.5, "12.5"), (0.03, "0.03"), (100, "100"), (0.0625, "0.0625")]
)
def test_grams_are_told_as_they_were_written(grams, said):
    assert presentation.as_written(grams) == said


def test_amounts_are_told_in_measures_and_doses():
    cup = portion(grams=150, measures=(("cup", 200.0),))
    tablets = portion(grams=0.6, is_supplement=True, dose_unit="tablet", grams_per_dose_unit=0.4)
    powder = portion(grams=2, is_supplement=True, dose_unit="g", grams_per_dose_unit=1)
    assert [presentation.amount_in_words(each) for each in (cup, tablets, powder)] == [
        "¾ cup",
        "1.5 tablet",
        "",
    ]


def test_what_an_ingredient_brings_is_unknown_and_not_zero_without_a_value():
    rows = presentation.brought(make_analysis(hen=HEN | {"copper": UNKNOWN}), "copper")
    assert [(row.food, row.amount, row.percent) for row in rows] == [
        ("groats", 0.2, 100),
        ("hen", None, None),
    ]


def test_temperatures_are_told_in_both_ways():
    assert presentation.temperature(74) == "74 °C (165 °F)"
    assert presentation.temperature(None) == ""


def test_what_cooking_changes_is_told_with_both_answers():
    """Protein 91 g per 1000 kcal raw; 15 g left of 25 are 15 x 1000 / 234 = 64, below 80 and within 90."""
    limits = {
        "protein": {"minimum": 80, "maximum": 90, "maximum_kind": "legal"},
        "calcium": {"minimum": 10},
    }
    before, after = (
        judge(made_of.composition.totals, made_of.composition.completeness, kcal, make_profile(limits))
        for made_of, kcal in ((make_analysis(), 274), (make_analysis(hen=HEN | {"protein": 10}), 234))
    )
    assert presentation.changed_by_cooking(before, after) == [
        "Protein: Meets minimum before, Below minimum after cooking",
        "Protein: Above maximum (legal) before, Within maximum (legal) after cooking",
    ]
    assert presentation.changed_by_cooking(before, before) == []
