"""A doubted weight and the answers it takes."""

from datetime import date

import pytest

from patients.usual_weights import Usual
from patients.weight_questions import KnownWeights, Typed, judge_weight

BEFORE = [(date(2026, 11, 1), 5.3)]
DAY = date(2026, 11, 15)


def judged(kg, answer="", unit="kg", before=BEFORE, growing=False, usual=None):
    known = KnownWeights(before, lambda day: growing, born=date(2026, 9, 6), usual=usual)
    return judge_weight(Typed(DAY, kg, unit), known, name="q", answer=answer)


def values(question):
    return {value.split()[0]: value for value, _ in question.answers}


def test_a_weight_without_a_doubt_is_taken():
    assert judged(5.2).question is None
    assert not judged(5.2).is_open
    assert judged(24, before=[]).question is None


def test_the_wrong_unit_is_asked_about_and_offered_in_the_other():
    """24 lb = 10.886 kg."""
    found = judged(24)
    assert "5.3 to 24 kg" in found.question.words
    labels = [label for _, label in found.question.answers]
    assert labels[:2] == ["It is right: 24.0 kg.", "It was 24 lb: 10.9 kg."]
    answers = values(found.question)
    assert judged(24, answers["right"]).kg == 24
    assert judged(24, answers["other-unit"]).kg == pytest.approx(24 * 0.45359237)
    left_out = judged(24, answers["left-out"])
    assert (left_out.kg, left_out.left_out, left_out.is_open) == (24, True, False)
    assert left_out.question.chosen == answers["left-out"]  # it is shown again with its answer


def test_pounds_are_offered_as_kilograms():
    """5.3 lb = 2.404 kg after 5.3 kg: they were kilograms."""
    found = judged(5.3 * 0.45359237, unit="lb")
    assert "were these kilograms?" in found.question.words
    assert [label for _, label in found.question.answers][1] == "It was 5.3 kg: 5.3 kg."


def test_an_answer_holds_for_its_own_weight_only():
    answer = values(judged(24).question)["right"]
    assert not judged(24, answer).is_open
    assert judged(25, answer).is_open


def test_what_no_dog_weighs_is_not_offered():
    """100 lb = 45 kg after 5.3 kg; 130 lb would be 130 kg."""
    heavy = judged(130 * 0.45359237, unit="lb")
    assert list(values(heavy.question)) == ["right", "left-out"]


def test_an_earlier_weight_is_held_against_the_next_one():
    """40 kg in October and 18 kg in November: 40 lb are 18.1 kg."""
    found = judged(40, before=[(date(2026, 11, 20), 18.0)])
    assert "18 kg after 40 kg: was the earlier weight in pounds?" in found.question.words
    assert not judged(18.1, before=[(date(2026, 11, 20), 18.0)]).question


def test_a_first_weight_is_held_against_what_the_dog_usually_weighs():
    """26.5 lb = 12.02 kg. Nothing is left out of the curve: there is no other weight."""
    beagle = Usual(9, 14, "the 9 to 14 kg usual for this breed (beagle)")
    found = judged(26.5, before=[], usual=beagle)
    assert "were these pounds?" in found.question.words
    assert [label for _, label in found.question.answers] == [
        "It is right: 26.5 kg.",
        "It was 26.5 lb: 12.0 kg.",
    ]
    assert not judged(12, before=[], usual=beagle).question


def test_a_puppy_of_ten_weeks_is_held_against_its_share():
    """Ten weeks: at most 6 + 10 x 4 = 46 % of 30 kg, which is 13.8 kg."""
    grown = Usual(30, 30, "the 30.0 kg expected of it grown")
    assert not judged(13.7, before=[], growing=True, usual=grown).question
    assert "is much at 10 weeks beside" in judged(14, before=[], growing=True, usual=grown).question.words
