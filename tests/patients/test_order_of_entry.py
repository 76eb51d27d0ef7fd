"""What a dog's visits say does not hang on the order in which they were typed in."""

from datetime import timedelta
from itertools import permutations

import pytest
from django.utils import timezone

from patients.plan_queries import dog_of, energy_choices
from tests import cast

pytestmark = pytest.mark.django_db

TODAY = timezone.localdate()
VISITS = (  # days ago, kg, BCS
    (60, 20.0, 8),
    (30, 19.4, 7),
    (2, 18.8, 7),
)


def told(order) -> tuple:
    dog = cast.make_patient()
    for days_ago, kg, bcs in order:
        cast.make_visit(dog, date=TODAY - timedelta(days=days_ago), weight_kg=kg, bcs=bcs)
    found = dog_of(dog, TODAY)
    methods = energy_choices(dog, found, found.ideal_kg(), for_comparison=True)
    return found, [(choice.key, choice.span, choice.offered) for choice in methods]


@pytest.mark.parametrize("order", list(permutations(VISITS)))
def test_every_order_of_entry_tells_the_same_dog_and_energy(order):
    found, methods = told(order)
    assert (found.weight_kg, found.bcs) == (18.8, 7)
    assert (found, methods) == told(VISITS)
