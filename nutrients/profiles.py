"""Writes to profiles: a limit changed with its reason, and profiles of the practice's own."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import ProtectedError
from django.utils.text import slugify

from nutrients import changes, queries
from nutrients.models import Limit, Profile, Standard

OWN_STANDARD = "Practice"
OWN_ORDER = 1000  # after everything that is published
KEY_LENGTH = 40
MOST_NAMED = 5


@transaction.atomic
def change_limit(*, limit: Limit, reason: str, seen: str | None = None) -> None:
    """Save a changed limit. Raises ValidationError when it contradicts another one or changed meanwhile."""
    changes.change(row=limit, reason=reason, seen=seen)
    refuse_contradictions(limit)


@transaction.atomic
def add_limit(*, limit: Limit, reason: str) -> None:
    """Add a limit to a profile of the practice's own. Raises ValidationError when it does not fit."""
    _only_own(limit.profile)
    limit.full_clean()
    limit._change_reason = reason
    limit.save()
    refuse_contradictions(limit)


@transaction.atomic
def remove_limit(*, limit: Limit, reason: str) -> None:
    """Take a limit out of a profile of the practice's own; its history stays."""
    _only_own(limit.profile)
    limit._change_reason = reason
    limit.delete()


def _only_own(profile: Profile) -> None:
    if not profile.own:
        raise ValidationError("This profile is published: copy it, and change the copy.")


def refuse_contradictions(limit: Limit) -> None:
    """Raises ValidationError when a minimum now lies above a maximum, here or in a profile that inherits."""
    for profile in Profile.objects.select_related("standard", "inherits"):
        if limit.profile not in queries.chain_of(profile):
            continue
        limits = queries.profile_limits(profile).limits
        if limit.nutrient.key not in limits.index:
            continue
        low, high, unit, kind = limits.loc[limit.nutrient.key, ["minimum", "maximum", "unit", "maximum_kind"]]
        if low > high:
            said = f"a minimum of {low:g} {unit} above its {kind} maximum of {high:g} {unit}"
            raise ValidationError(f"{profile} would have {said}: change one of them first.")


@transaction.atomic
def copy_profile(*, original: Profile, life_stage: str, targets_by: str, note: str = "") -> Profile:
    """A profile of the practice's own with every limit of another one, inherited ones too.

    The limits that the practice had changed bring their history along. Raises ValidationError for a table
    that is not given per 1000 kcal and for a name that is taken.
    """
    if original.basis != Profile.Basis.PER_1000_KCAL:
        raise ValidationError("Only a profile per 1000 kcal can be copied: recipes are judged per 1000 kcal.")
    copy = Profile(
        key=_new_key(life_stage),
        standard=own_standard(),
        life_stage=life_stage,
        basis=original.basis,
        growth=original.growth,
        assumed_kcal_per_mbw=original.assumed_kcal_per_mbw,
        order=OWN_ORDER,
        note=note,
        own=True,
        copied_from=original,
        targets_by=targets_by,
        arginine_per_g_protein=original.arginine_rise,
    )
    copy.full_clean()
    copy._change_reason = f"Copied from {original}."
    copy.save()
    _copy_limits(original, copy)
    return copy


def own_standard() -> Standard:
    """The standard that the practice's own profiles stand under."""
    described = {"edition": "own targets", "source": "Targets that the practice entered itself."}
    return Standard.objects.get_or_create(name=OWN_STANDARD, defaults=described)[0]


def _new_key(life_stage: str) -> str:
    """A key that no profile has yet and no published one can get."""
    stem = f"own-{slugify(life_stage)[:KEY_LENGTH] or 'profile'}"
    taken = set(Profile.objects.filter(key__startswith=stem).values_list("key", flat=True))
    return next(
        key for n in range(1, len(taken) + 2) if (key := f"{stem}-{n}" if n > 1 else stem) not in taken
    )


def _copy_limits(original: Profile, copy: Profile) -> None:
    for limit in queries.standing_limits(original):
        states = list(limit.history.order_by("history_date", "history_id"))
        limit.pk, limit.profile = None, copy
        Limit.objects.bulk_create([limit])  # no history: it begins with the first change
        for state in states:
            state.pk, state.id, state.profile = None, limit.pk, copy
        Limit.history.bulk_create(states)


@transaction.atomic
def delete_profile(*, profile: Profile) -> None:
    """Delete a profile of the practice's own. Raises ValidationError, naming them, when anything uses it."""
    _only_own(profile)
    try:
        profile.delete()
    except ProtectedError as used:
        users = sorted(f"{each._meta.verbose_name} “{each}”" for each in used.protected_objects)
        more = f" and {len(users) - MOST_NAMED} more" if len(users) > MOST_NAMED else ""
        raise ValidationError(
            f"{profile} is still used by: {', '.join(users[:MOST_NAMED])}{more}. It stays."
        ) from None
