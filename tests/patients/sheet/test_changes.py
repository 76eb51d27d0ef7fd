"""What a sheet says otherwise than the one before it."""

from copy import deepcopy

import pytest

from patients.sheet.changes import changes, reissue_part

RECORD = {
    "number": 3,
    "feeding": {
        "kcal_per_day": 640.0, "meal_g": 314, "meals_per_day": 2, "days": 7, "extras_kcal": 50.0,
        "served": "warmed again",
    },
    "recipe": {
        "title": "Turkey and barley", "method": "simmered, liquid kept",
        "foods": [{"food": "Turkey", "grams": 1550.0}, {"food": "Barley", "grams": 330.0}],
    },
    "supplements": [
        {"when": "into the cooled batch", "doses": [{"food": "Calcium", "amount": "13.9 g"}]},
        {"when": "in the bowl, at the meal", "doses": [{"food": "Oil", "amount": "1 ml"}]},
    ],
}  # fmt: skip


def changed(**parts) -> dict:
    record = deepcopy(RECORD)
    for part, values in parts.items():
        record[part] = record[part] | values if isinstance(values, dict) else values
    return record


def test_the_same_record_changes_nothing():
    assert changes(RECORD, deepcopy(RECORD)) == []


@pytest.mark.parametrize(
    ("after", "sentence"),
    [
        (changed(feeding={"kcal_per_day": 576.0}), "Energy a day: 576 kcal. It was 640 kcal."),
        (changed(feeding={"meal_g": 8.4}), "Each meal: 8.4 g. It was 314 g."),
        (changed(feeding={"meals_per_day": 3}), "Meals a day: 3. There were 2."),
        (changed(feeding={"served": "cold"}), "Feed it cold. It was warmed again."),
        (changed(recipe={"title": "Cod"}), "Another recipe: Cod. It was Turkey and barley."),
        (changed(recipe={"method": "pan"}), "Cooked another way: pan."),
        (changed(supplements=RECORD["supplements"][:1]), "No longer: Oil."),
    ],
)
def test_one_change_is_one_sentence(after, sentence):
    assert changes(RECORD, after) == [sentence]


def test_foods_that_come_go_and_change():
    after = changed(recipe={"foods": [{"food": "Turkey", "grams": 1400.0}, {"food": "Rice", "grams": 300.0}]})
    assert changes(RECORD, after) == [
        "New in the pot: Rice.",
        "No longer in the pot: Barley.",
        "The amounts in the pot have changed: cook by this sheet.",
    ]


def test_doses_that_come_and_change_their_amount_or_moment():
    after = changed(
        supplements=[
            {
                "when": "into the cooled batch",
                "doses": [{"food": "Calcium", "amount": "12 g"}, {"food": "Oil", "amount": "1 ml"}],
            },
            {"when": "in the bowl, at the meal", "doses": [{"food": "Zinc", "amount": "½ tablet"}]},
        ]
    )
    assert changes(RECORD, after) == [
        "New: Zinc, ½ tablet, in the bowl, at the meal.",
        "Calcium: now 12 g, into the cooled batch.",
        "Oil: now 1 ml, into the cooled batch.",
    ]


def test_of_many_changed_doses_the_names_are_told():
    names = ["Calcium", "Iron", "Oil", "Zinc"]

    def dosed(amount: str) -> dict:
        doses = [{"food": name, "amount": amount} for name in names]
        return changed(supplements=[{"when": "into the cooled batch", "doses": doses}])

    assert changes(dosed("1 g"), dosed("2 g")) == [
        "These amounts have changed: Calcium, Iron, Oil, Zinc. Measure by this sheet."
    ]


def test_words_of_two_languages_are_not_compared():
    [sentence] = changes(RECORD | {"language": "en"}, changed(feeding={"meal_g": 3}) | {"language": "de"})
    assert "another language" in sentence


def test_an_older_record_without_a_part_is_compared_in_the_others():
    before = deepcopy(RECORD)
    del before["feeding"]["extras_kcal"]
    part = reissue_part(before, RECORD, "Juniper has lost weight")
    assert part == {"replaces": 3, "reason": "Juniper has lost weight", "changes": []}
