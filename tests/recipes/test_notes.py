"""Notes on a recipe, where its figures call for them. No database. 274 kcal, 149 of them from groats."""

from dataclasses import replace

import pytest

from nutrients.adequacy import judge
from recipes.notes import notes
from tests.nutrients.makers import UNKNOWN, make_profile
from tests.recipes.test_presentation import GROATS, HEN, make_analysis, portion

PHYTATE, CAROTENE = "Zinc and phytate", "Vitamin A met by carotene"
NO_VITAMIN_A = {"retinol": 0, "beta_carotene": 0}


def titles(limits, hen, groats, group="grain & starch"):
    return [note.title for note in notes_on(limits, hen, groats, group)]


def notes_on(limits, hen, groats, group="grain & starch"):
    analysis = make_analysis(hen, groats)
    made_of = analysis.composition
    judgement = judge(made_of.totals, made_of.completeness, analysis.energy.kcal, make_profile(limits))
    portions = [portion(group="muscle meat"), portion(food="groats", grams=50, group=group)]
    return notes(replace(analysis, judgement=judgement), portions)


class TestPhytate:
    """Zinc 5.48 mg and calcium 411 mg in 274 kcal: 20 and 1500 mg per 1000 kcal."""

    HEN, GROATS = HEN | {"zinc": 5.48, "calcium": 411}, GROATS | {"zinc": 0, "calcium": 0}

    def test_zinc_barely_met_on_grain_with_much_calcium_is_noted(self):
        limits = {"zinc": {"minimum": 18}, "calcium": {"minimum": 1000}}  # 111 % and 150 %
        [note] = notes_on(limits, self.HEN, self.GROATS)
        assert note.title == PHYTATE
        assert "111 % of the minimum" in note.text
        assert "54 % of the energy" in note.text  # 149 / 274
        assert "no source" in note.source

    @pytest.mark.parametrize("group", ["legume", "seed & nut"])
    def test_legumes_and_seeds_hold_phytate_as_well(self, group):
        limits = {"zinc": {"minimum": 18}, "calcium": {"minimum": 1000}}
        assert titles(limits, self.HEN, self.GROATS, group) == [PHYTATE]

    @pytest.mark.parametrize(
        ("zinc", "calcium", "group"),
        [
            (16, 1000, "grain & starch"),  # zinc at 125 %
            (21, 1000, "grain & starch"),  # zinc is below: that is said already
            (18, 1100, "grain & starch"),  # calcium at 136 %
            (18, 1000, "vegetable"),
        ],
    )
    def test_otherwise_it_is_not(self, zinc, calcium, group):
        limits = {"zinc": {"minimum": zinc}, "calcium": {"minimum": calcium}}
        assert titles(limits, self.HEN, self.GROATS, group) == []

    def test_a_profile_without_these_minima_has_nothing_to_note(self):
        assert titles({"protein": {"minimum": 45}}, self.HEN, self.GROATS) == []


class TestCarotene:
    """Retinol 41.1 ug is 137 IU, 500 IU per 1000 kcal; 1 mg carotene 833 IU, 3040 per 1000 kcal."""

    LIMITS = {"vitamin_a": {"unit": "IU", "minimum": 1250}}

    def test_vitamin_a_met_only_with_carotene_is_noted(self):
        hen, groats = HEN | NO_VITAMIN_A | {"retinol": 41.1}, GROATS | {"retinol": 0, "beta_carotene": 1000}
        [note] = notes_on(self.LIMITS, hen, groats)
        assert note.title == CAROTENE
        assert "with it 3,540 IU per 1000 kcal, retinol alone is 500, and 1,250 are needed" in note.text

    def test_it_is_noted_as_well_while_no_retinol_is_known(self):
        hen, groats = HEN | {"beta_carotene": 0}, GROATS | {"beta_carotene": 1000}
        [note] = notes_on(self.LIMITS, hen | {"retinol": UNKNOWN}, groats | {"retinol": UNKNOWN})
        assert "retinol is not known" in note.text

    @pytest.mark.parametrize("retinol", [102.75, 0])  # 1250 IU per 1000 kcal alone; none, and below
    def test_otherwise_it_is_not(self, retinol):
        carotene = 1000 if retinol else 0
        hen, groats = HEN | NO_VITAMIN_A | {"retinol": retinol}, GROATS | NO_VITAMIN_A
        assert titles(self.LIMITS, hen | {"beta_carotene": carotene}, groats) == []
