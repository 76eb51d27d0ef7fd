"""Accepting open limits of a version that waits for approval, and taking an acceptance back."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from nutrients.models import Nutrient
from recipes.acceptance import Condition, OpenLimit
from recipes.acceptance_queries import unaccepted_of
from recipes.models import AcceptedLimit, RecipeVersion
from recipes.services import CHANGED_MEANWHILE, fingerprint

TOO_LATE = "Only of the latest version, while it is not approved, is something accepted."


@dataclass(frozen=True)
class SignOff:
    """The veterinarian who agreed, and the day of it."""

    veterinarian: str
    clinic: str
    on: date


@transaction.atomic
def accept_limits(
    *,
    version: RecipeVersion,
    keys: Sequence[str],
    reason: str,
    by: User,
    seen: str,
    sign_off: SignOff | None = None,
) -> list[AcceptedLimit]:
    """Accept open limits as they are judged now, all for the same reason.

    keys: of acceptance.OpenLimit, as they were seen. reason: why, or with a sign-off what was agreed.
    Raises ValidationError when one may not be accepted so, or something changed meanwhile.
    """
    version = RecipeVersion.objects.select_for_update().get(pk=version.pk)
    if version.approved or version != version.recipe.latest():
        raise ValidationError(TOO_LATE)
    if not reason.strip():
        raise ValidationError("Say why it is accepted.")
    found = {limit.key: limit for limit in unaccepted_of(version)}
    if seen != fingerprint(version) or not set(keys) <= set(found):
        raise ValidationError(CHANGED_MEANWHILE)
    return [_accept(version, found[key], reason, by, sign_off) for key in dict.fromkeys(keys)]


def _accept(
    version: RecipeVersion, limit: OpenLimit, reason: str, by: User, sign_off: SignOff | None
) -> AcceptedLimit:
    if limit.condition == Condition.NEVER:
        raise ValidationError(f"{limit.name}: an open limit on it is never accepted in a profile for growth.")
    if limit.condition == Condition.SIGN_OFF and sign_off is None:
        raise ValidationError(f"{limit.name}: it takes the sign-off of a veterinarian.")
    accepted = AcceptedLimit(
        version=version,
        profile=version.recipe.profile,
        nutrient=Nutrient.objects.get(key=limit.nutrient),
        side=limit.side,
        answer=limit.answer,
        amount=limit.amount,
        reason=reason,
        accepted_by=by,
    )
    if limit.condition == Condition.SIGN_OFF:
        accepted.veterinarian, accepted.clinic = sign_off.veterinarian, sign_off.clinic
        accepted.agreed_on = sign_off.on
    version.accepted_limits.filter(
        profile=accepted.profile, nutrient=accepted.nutrient, side=accepted.side
    ).delete()  # one that has lapsed
    accepted.full_clean()
    accepted.save()
    return accepted


def take_back(*, accepted: AcceptedLimit) -> None:
    """Raises ValidationError when the version is approved."""
    accepted.delete()
