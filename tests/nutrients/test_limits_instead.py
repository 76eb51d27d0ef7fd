"""A profile with other limits than the stored ones, to judge as it was before a correction."""

import pytest

from nutrients.models import Limit, Profile
from nutrients.queries import profile_limits

pytestmark = pytest.mark.django_db


@pytest.fixture
def calcium():
    limit = Limit.objects.select_related("nutrient").get(
        profile__key="aafco-growth", nutrient__key="calcium", minimum__isnull=False
    )
    limit.changed = True
    return limit


def minimum_of(profile: str, instead=None) -> float:
    return profile_limits(Profile.objects.get(key=profile), instead).limits.at["calcium", "minimum"]


def test_another_limit_stands_in(calcium):
    stored, calcium.minimum = calcium.minimum, 9.5
    assert minimum_of("aafco-growth", {calcium.pk: calcium}) == 9.5
    assert minimum_of("aafco-growth") == stored
    assert calcium.minimum == 9.5


def test_it_is_inherited_as_the_stored_one_is(calcium):
    heir = Profile.objects.filter(inherits__key="aafco-growth").first()
    Limit.objects.filter(profile=heir, nutrient__key="calcium").update(minimum=None, maximum=None)
    calcium.minimum = 9.5
    assert minimum_of(heir.key, {calcium.pk: calcium}) == 9.5


def test_none_takes_one_away(calcium):
    limits = profile_limits(calcium.profile, {calcium.pk: None}).limits
    assert "calcium" not in limits.index or limits["minimum"].isna()["calcium"]


def test_limits_of_other_profiles_are_passed_over(calcium):
    calcium.minimum = 9.5
    assert minimum_of("aafco-adult", {calcium.pk: calcium}) == minimum_of("aafco-adult")
