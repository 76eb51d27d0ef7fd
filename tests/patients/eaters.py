"""Dogs whose energy is worked out, and the energy page as a test reads it. At 16 kg kg^0.75 is 8, RER 560."""

from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from tests import cast

TODAY = timezone.localdate()


def days(count: int):
    return TODAY - timedelta(days=count)


def weighed(kg=16.0, bcs=5, activity="moderate", **particulars):
    dog = cast.make_patient(**particulars)
    cast.make_visit(dog, weight_kg=kg, bcs=bcs, activity=activity)
    return dog


def page(dog, **asked) -> str:
    query = "&".join(f"{name}={value}" for name, value in asked.items())
    return f"{reverse('patients:energy-page', args=[dog.pk])}?{query}"


def rows(client, dog, **asked) -> dict:
    groups = client.get(page(dog, **asked)).context["found"].groups
    return {row.choice.key: row.choice for _, group in groups for row in group}


ADULT = {"born": days(5 * 365)}
YOUNG = {"born": days(2 * 365)}
OLD = {"born": days(10 * 365)}
AT_WORK = ADULT | {"stage_by_hand": "working", "stage_reason": "herds"}
PREGNANT = ADULT | {"neutered": False}
NURSING = ADULT | {"neutered": False}
PUP = {"neutered": False}


def pregnant(week: int) -> dict:
    return PREGNANT | {"mated_on": days(7 * week - 4)}


def nursing(week: int, puppies: int) -> dict:
    return NURSING | {"whelped_on": days(7 * week - 4), "litter": puppies}


def puppy(age_days: int, adult_kg: float | None) -> dict:
    return PUP | {"born": days(age_days), "expected_adult_kg": adult_kg}
