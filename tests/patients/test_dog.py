"""What a plan knows of a dog."""

import pytest

from patients.dog import Dog
from patients.life_stage import ADULT


@pytest.mark.parametrize(
    ("bcs", "ideal"),
    [
        (3, 25.0),  # 20 / (1 - 0.20)
        (4, 20.0),  # 4 and 5 are ideal: the dog's own weight (body condition charts for dogs, from memory)
        (5, 20.0),
        (7, 16.667),  # 20 / 1.20
    ],
)
def test_the_ideal_weight_by_ten_percent_a_point(bcs, ideal):
    dog = Dog("Bramble", "collie cross", ADULT, weight_kg=20.0, bcs=bcs)
    assert dog.ideal_kg() == pytest.approx(ideal, abs=0.001)
