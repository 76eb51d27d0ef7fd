"""When a dog goes to its veterinarian first. Limits: common practice; 2 % a week: from memory."""

import pytest

from patients.concerns import concerns


def make_findings(**findings):
    return {"bcs": 5, "appetite": "good", "muscle": "normal"} | findings


def test_a_dog_in_order_raises_nothing():
    assert concerns(**make_findings(faecal_score=3, percent_per_week=-1.0)) == []


def test_what_is_unknown_raises_nothing():
    assert concerns(**make_findings(faecal_score=None, percent_per_week=None)) == []


@pytest.mark.parametrize(
    ("findings", "words"),
    [
        ({"appetite": "poor"}, "appetite is poor"),
        ({"vomiting": True}, "the dog vomits"),
        ({"bcs": 3}, "thin (BCS 3)"),
        ({"bcs": 9}, "severely obese (BCS 9)"),
        ({"muscle": "severe"}, "loss of muscle"),
        ({"faecal_score": 6}, "very soft or watery"),
        ({"percent_per_week": -2.1}, "2.1 % a week, more than 2 %"),
        ({"percent_per_week": -2.04}, "2.04 % a week, more than 2 %"),
        ({"percent_per_week": -0.1, "growing": True}, "growing dog has lost weight"),
    ],
)
def test_each_concern(findings, words):
    found = concerns(**make_findings(**findings))
    assert len(found) == 1
    assert words in found[0]


@pytest.mark.parametrize(
    "findings",
    [
        {"appetite": "fair"},
        {"bcs": 4},
        {"bcs": 8},
        {"muscle": "moderate"},
        {"faecal_score": 5},
        {"percent_per_week": -2.0},
        {"percent_per_week": -2.0000000000000018},  # as floats tell a loss of 0.4 kg of 20 kg in a week
        {"percent_per_week": 5.0, "growing": True},
    ],
)
def test_just_short_of_a_concern(findings):
    assert concerns(**make_findings(**findings)) == []
