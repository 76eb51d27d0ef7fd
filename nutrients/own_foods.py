"""Writes to the foods and supplements that the practice enters itself, and to single values of any food.

Every write says who made it and why; what stood before stays in the history. Foods are never deleted: one
that is no longer bought is marked as discontinued.
"""

from collections.abc import Iterable, Sequence

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils import timezone

from nutrients.models import Food, FoodValue, LabelAmount, Measure, Nutrient, Supplement

VALUE_FIELDS = ("per_100g", "low", "high", "kind")
NOT_KNOWN = (FoodValue.Kind.BOUND, FoodValue.Kind.ESTIMATE)
LONGEST_USERNAME = 40


def entered(source: str, by: User) -> str:
    """A source with who entered it and when: `label, entered by robin 2026-11-25`."""
    return f"{source}, entered by {by.username[:LONGEST_USERNAME]} {timezone.localdate():%Y-%m-%d}"


@transaction.atomic
def add_food(*, food: Food, values: Iterable[FoodValue], by: User, reason: str = "") -> Food:
    """Keep a new food with its values (unsaved, without their food).

    Raises ValidationError when any of them is not in order; nothing is written then.
    """
    food.own, food.source = True, entered(food.source, by)
    _save(food, by, reason)
    for value in values:
        value.food, value.source = food, entered(value.source, by)
        _save(value, by, reason)
    return food


@transaction.atomic
def add_supplement(
    *,
    food: Food,
    supplement: Supplement,
    label_amounts: Sequence[LabelAmount],
    values: Iterable[FoodValue],
    by: User,
    reason: str = "",
) -> Supplement:
    """Keep a new supplement: its food with the composition, its doses and the lines of its label."""
    supplement.food = add_food(food=food, values=values, by=by, reason=reason)
    _save(supplement, by, reason)
    _keep_lines(supplement, label_amounts)
    supplement.full_clean()  # once more: a seaweed is asked for the line of its iodine
    return supplement


@transaction.atomic
def change_food(
    *, food: Food, values: Iterable[FoodValue], unknown: Iterable[Nutrient] = (), by: User, reason: str
) -> Food:
    """Save a food of the practice's own with the values that changed; `unknown` lose theirs.

    Raises ValidationError for a food from published tables: it can be copied.
    """
    if not food.own:
        raise ValidationError("This food comes from published tables: copy it, and change the copy.")
    _save(food, by, reason)
    for value in values:
        _keep_value(food, value, by, reason)
    for value in food.values.filter(nutrient__in=list(unknown)):
        _delete(value, by, reason)
    return food


@transaction.atomic
def change_supplement(
    *,
    supplement: Supplement,
    label_amounts: Sequence[LabelAmount],
    values: Sequence[FoodValue],
    by: User,
    reason: str,
) -> Supplement:
    """Save a supplement of the practice's own as its label now stands.

    What the label no longer gives a value for becomes unknown, except what somebody estimated.
    """
    given = [value.nutrient for value in values]
    gone = supplement.food.values.exclude(nutrient__in=given).exclude(kind=FoodValue.Kind.ESTIMATE)
    unknown = [value.nutrient for value in gone.select_related("nutrient")]
    change_food(food=supplement.food, values=values, unknown=unknown, by=by, reason=reason)
    supplement.label_amounts.all().delete()
    _keep_lines(supplement, label_amounts)
    _save(supplement, by, reason)
    return supplement


def _keep_lines(supplement: Supplement, label_amounts: Sequence[LabelAmount]) -> None:
    for line in label_amounts:
        line.supplement = supplement
        line.full_clean()
        line.save()


@transaction.atomic
def copy_food(
    *,
    original: Food,
    food: Food,
    values: Iterable[FoodValue],
    unknown: Iterable[Nutrient] = (),
    by: User,
    reason: str = "",
) -> Food:
    """Keep a copy under the name and particulars of `food`: the original's values and measures.

    values: those that differ; unknown: nutrients whose value is not taken over.
    """
    changed = {value.nutrient.pk: value for value in values}
    left_out = changed.keys() | {nutrient.pk for nutrient in unknown}
    add_food(food=food, values=changed.values(), by=by, reason=reason)
    for value in original.values.exclude(nutrient__in=left_out):
        source = f"copied from {original.name}: {value.source}"[
            : FoodValue._meta.get_field("source").max_length
        ]
        copied = FoodValue(food=food, nutrient_id=value.nutrient_id, source=source, **_amounts(value))
        _save(copied, by, reason)
    for measure in original.measures.all():
        Measure.objects.create(food=food, amount=measure.amount, label=measure.label, grams=measure.grams)
    return food


@transaction.atomic
def set_value(*, food: Food, value: FoodValue, by: User, reason: str) -> FoodValue:
    """Give a food another value for a nutrient, or the first one. Raises ValidationError without a reason."""
    _needs(reason)
    return _keep_value(food, value, by, reason)


@transaction.atomic
def estimate(*, food: Food, value: FoodValue, by: User, reason: str = "") -> FoodValue:
    """Fill a missing value with the practice's estimate, which counts and is marked as one.

    Raises ValidationError without a range, and where a value is known.
    """
    value.kind = FoodValue.Kind.ESTIMATE
    if value.low is None or value.high is None:
        raise ValidationError("An estimate needs a range: its lowest and its highest likely amount.")
    known = food.values.filter(nutrient=value.nutrient).exclude(kind__in=NOT_KNOWN)
    if known.exists():
        raise ValidationError(f"{food} has a value for {value.nutrient}: change that one.")
    return _keep_value(food, value, by, reason or "estimated where no value is known")


@transaction.atomic
def withdraw_value(*, food: Food, nutrient: Nutrient, by: User, reason: str) -> None:
    """Make a nutrient of a food unknown again. Raises ValidationError without a reason."""
    _needs(reason)
    for value in food.values.filter(nutrient=nutrient):
        _delete(value, by, reason)


def set_discontinued(*, food: Food, discontinued: bool, by: User) -> Food:
    """Mark a food as no longer bought, or take the mark off."""
    food.discontinued = discontinued
    _save(food, by, "no longer bought" if discontinued else "bought again")
    return food


def _keep_value(food: Food, value: FoodValue, by: User, reason: str) -> FoodValue:
    """Write a value over the one that stands there; nothing is written when it says the same."""
    if value.nutrient.derived:
        raise ValidationError(f"{value.nutrient} is worked out from others and never entered.")
    stands = food.values.select_for_update().filter(nutrient=value.nutrient).first()
    if (
        stands
        and _amounts(stands) == _amounts(value)
        and stands.source.startswith(f"{value.source}, entered")
    ):
        return stands
    kept = stands or FoodValue(food=food, nutrient=value.nutrient)
    for field, content in _amounts(value).items():
        setattr(kept, field, content)
    kept.source = entered(value.source, by)
    _save(kept, by, reason)
    return kept


def _amounts(value: FoodValue) -> dict[str, object]:
    return {field: getattr(value, field) for field in VALUE_FIELDS}


def _needs(reason: str) -> None:
    if not reason.strip():
        raise ValidationError("Say why: the reason stays with the value.")


def _save(record: models.Model, by: User, reason: str) -> None:
    record._history_user, record._change_reason = by, reason or None
    record.full_clean()
    record.save()


def _delete(record: models.Model, by: User, reason: str) -> None:
    record._history_user, record._change_reason = by, reason
    record.delete()
