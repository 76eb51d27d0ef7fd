"""Two versions side by side: lines, particulars, steps and answers."""

import math

import pandas as pd
import pytest

from recipes.analysis import Portion
from recipes.comparison import answer_changes, line_changes, particular_changes, step_changes


def portion(food, grams, when="in_the_pot", **fields):
    return Portion(food, grams, when, group="g", retention_group="r", state="raw", **fields)


class TestLines:
    def test_each_is_told_by_what_became_of_it(self):
        before = [portion("turkey", 500), portion("rice", 200), portion("chalk", 5, "cooled_batch")]
        after = [portion("turkey", 400), portion("chalk", 5, "cooled_batch"), portion("carrot", 50)]
        assert [(x.food, x.what, x.percent) for x in line_changes(before, after)] == [
            ("turkey", "changed", pytest.approx(-20)),
            ("chalk", "as before", None),
            ("carrot", "added", None),
            ("rice", "left out", None),
        ]

    def test_a_line_that_only_goes_in_later_is_changed_and_not_another_one(self):
        [found] = line_changes([portion("oil", 10)], [portion("oil", 10, "off_the_heat")])
        assert (found.what, found.before.when, found.after.when) == ("changed", "in_the_pot", "off_the_heat")
        assert found.percent is None

    def test_two_lines_of_a_food_are_told_apart_by_their_moment(self):
        before = [portion("egg", 50), portion("egg", 20, "in_the_bowl")]
        after = [portion("egg", 30, "in_the_bowl"), portion("egg", 50)]
        assert [(x.before.grams, x.after.grams, x.what) for x in line_changes(before, after)] == [
            (20, 30, "changed"),
            (50, 50, "as before"),
        ]

    def test_one_of_two_lines_that_is_left_out_takes_the_other_nothing_away(self):
        before = [portion("egg", 50), portion("egg", 20, "in_the_bowl")]
        found = line_changes(before, [portion("egg", 20, "in_the_bowl")])
        assert [(x.what, x.before.grams) for x in found] == [("as before", 20), ("left out", 50)]

    @pytest.mark.parametrize("changed", [{"note": "diced"}, {"step_g": 1}])
    def test_a_note_and_a_rounding_step_count(self, changed):
        [found] = line_changes([portion("turkey", 500)], [portion("turkey", 500, **changed)])
        assert found.what == "changed"


def test_particulars_that_differ():
    before = {"Method": "baked", "Vessel": "", "Water added": "200 g"}
    after = {"Method": "baked", "Vessel": "tray", "Water added": ""}
    found = particular_changes(before, after)
    assert [(x.label, x.before, x.after) for x in found] == [
        ("Vessel", "", "tray"),
        ("Water added", "200 g", ""),
    ]


class TestSteps:
    def told(self, pieces):
        return " ".join(f"[{piece.words}]" if piece.told else piece.words for piece in pieces)

    def test_a_reworded_step_marks_its_words_on_both_sides(self):
        [found] = step_changes(["Simmer for 20 minutes gently."], ["Simmer for 35 minutes gently."])
        assert found.what == "changed"
        assert self.told(found.before) == "Simmer for [20] minutes gently."
        assert self.told(found.after) == "Simmer for [35] minutes gently."

    def test_words_that_come_in_stand_after_alone(self):
        [found] = step_changes(["Drain the rice."], ["Drain and rinse the rice."])
        assert self.told(found.before) == "Drain the rice."
        assert self.told(found.after) == "Drain [and rinse] the rice."

    def test_a_step_with_little_in_common_is_told_whole(self):
        [found] = step_changes(["Take it off and drain it well."], ["Cool and weigh."])
        assert (found.what, self.told(found.before)) == ("changed", "[Take it off and drain it well.]")
        assert self.told(found.after) == "[Cool and weigh.]"

    def test_steps_that_come_and_go(self):
        found = step_changes(["Boil.", "Cool.", "Mix."], ["Boil.", "Mix.", "Portion."])
        assert [x.what for x in found] == ["as before", "left out", "as before", "added"]
        assert self.told(found[1].before) == "[Cool.]"
        assert self.told(found[3].after) == "[Portion.]"

    def test_nothing_against_nothing(self):
        assert step_changes([], []) == []


def judgement(**rows):
    """nutrient -> (amount, answer for the minimum, answer for the maximum)."""
    fixed = {"unit": "mg", "decimals": 1, "maximum_kind": "legal"}
    lines = [
        fixed | {"name": key.title(), "amount": amount, "minimum_answer": low, "maximum_answer": high}
        for key, (amount, low, high) in rows.items()
    ]
    return pd.DataFrame(lines, index=list(rows))


class TestAnswers:
    def test_a_changed_answer_is_told_in_words_of_its_side(self):
        before = judgement(zinc=(19.9, "below", "meets"))
        [found] = answer_changes(before, judgement(zinc=(20.1, "meets", "above")))
        assert found.answers == (
            ("minimum", "Below minimum", "Meets minimum"),
            ("maximum", "Within maximum (legal)", "Above maximum (legal)"),
        )
        assert found.percent == pytest.approx(100 * (20.1 / 19.9 - 1))

    @pytest.mark.parametrize(("amount", "told"), [(105.0, False), (105.1, True), (95.0, False), (94.9, True)])
    def test_an_amount_is_told_once_it_moves_by_more_than_a_twentieth(self, amount, told):
        found = answer_changes(judgement(iron=(100.0, "meets", "")), judgement(iron=(amount, "meets", "")))
        assert bool(found) == told

    def test_changed_answers_come_before_mere_amounts(self):
        before = judgement(iron=(100.0, "meets", ""), zinc=(19.9, "below", ""))
        found = answer_changes(before, judgement(iron=(120.0, "meets", ""), zinc=(20.1, "meets", "")))
        assert [x.name for x in found] == ["Zinc", "Iron"]

    def test_what_is_not_known_is_no_zero(self):
        unknown, known = judgement(iodine=(math.nan, "", "")), judgement(iodine=(0.3, "", ""))
        [found] = answer_changes(unknown, known)
        assert (found.before, found.after, found.percent) == (None, 0.3, None)
        assert answer_changes(unknown, unknown) == []

    def test_from_nothing_no_percentage_is_made_up(self):
        [found] = answer_changes(judgement(iodine=(0.0, "", "")), judgement(iodine=(0.3, "", "")))
        assert found.percent is None
