"""What a breed usually weighs, in the words that people type; the weights are from memory."""

import pytest

from patients.usual_weights import BREEDS_KG, Usual, unlike_usual, usual_weight

BEAGLE = Usual(9, 14, "the 9 to 14 kg usual for this breed (beagle)")


@pytest.mark.parametrize(
    ("breed", "range_kg"),
    [
        ("Beagle", (9, 14)),
        ("beagle, perhaps", (9, 14)),
        ("Miniature Dachshund", (3.5, 6)),
        ("Dachshund, wire-haired", (5, 13)),
        ("French Bulldog", (8, 14)),
        ("Labrador Retriever", (24, 37)),
        ("Scottish Terrier (Aberdeen)", (8, 11)),
    ],
)
def test_a_breed_is_found_in_free_text(breed, range_kg):
    found = usual_weight(breed, None)
    assert (found.low_kg, found.high_kg) == range_kg


@pytest.mark.parametrize(
    "breed", ["beagle cross", "beagle x pug", "Beagle-Mix", "beagle × pug", "beagle/pug", "labradoodle",
              "hound", "beagles", "\u202ebeagle.*", ""],
)  # fmt: skip
def test_of_a_cross_or_another_dog_nothing_is_known(breed):
    assert (usual_weight(breed, None) is None) is (breed != "\u202ebeagle.*")


def test_what_is_expected_of_the_dog_itself_comes_first():
    assert usual_weight("beagle", 20.0) == Usual(20.0, 20.0, "the 20.0 kg expected of it grown")


@pytest.mark.parametrize(
    ("kg", "unit", "said"),
    [
        (6.4, "kg", ""),  # 0.7 x 9 = 6.3
        (19.5, "kg", ""),  # 1.4 x 14 = 19.6
        (
            26.5,
            "kg",
            "26.5 kg is much beside the 9 to 14 kg usual for this breed (beagle): were these pounds?",
        ),
        (26.5, "lb", "look again, or say that it is right."),
        (5.4, "lb", "5.4 kg is little beside"),
        (5.4, "lb", "were these kilograms?"),
        (5.4, "kg", "look again, or say that it is right."),
    ],
)
def test_a_grown_dog_far_from_its_breed_is_asked_about(kg, unit, said):
    asked = unlike_usual(kg, unit, BEAGLE, None)
    assert (said in asked) if said else not asked


def test_every_breed_is_found_under_its_own_name():
    for name, (low, high) in BREEDS_KG.items():
        assert 0 < low < high
        assert usual_weight(name, None).high_kg == high
