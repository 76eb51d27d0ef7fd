"""Reads of sign-offs and of the medicine table, as the calculations take them."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import QuerySet

from nutrients.composition import RATIOS
from nutrients.models import Caution, Nutrient, Profile
from nutrients.profile_basis import decimals_of
from nutrients.queries import profile_limits
from patients.agreements import LITTLE_ENERGY, AgreedNumber, Agreement
from patients.cautions import BLOCK
from patients.medicines import MedicineRule
from patients.models import MedicineCaution, Patient, SignOff

ADULT_PROFILE = "aafco-adult"  # in whose units the veterinarian's numbers are typed
NOT_SET = ("energy", "water", "ash")


def agreements_of(patient: Patient) -> tuple[Agreement, ...]:
    """The sign-offs that stand, the newest first."""
    return tuple(map(agreement, patient.sign_offs.standing().prefetch_related("numbers__nutrient")))


def agreement(sign_off: SignOff) -> Agreement:
    return Agreement(
        subject=sign_off.subject,
        veterinarian=sign_off.veterinarian,
        clinic=sign_off.clinic,
        on=sign_off.agreed_on,
        agreed=sign_off.agreed,
        lowest_kcal=sign_off.lowest_kcal,
        is_old=sign_off.is_old,
        numbers=tuple(
            AgreedNumber(
                key=number.nutrient.key,
                name=number.nutrient.name,
                unit=number.unit,
                factor=number.factor,
                decimals=decimals_of(number.per_1000_kcal),
                bound=number.bound,
                per_1000_kcal=number.per_1000_kcal,
            )
            for number in sign_off.numbers.all()
        ),
    )


def medicine_rules() -> list[MedicineRule]:
    return [
        MedicineRule(
            subject=row.subject,
            words=tuple(row.words.split("\n")),
            food_words=tuple(row.food_words.split("\n")) if row.food_words else (),
            nutrients=tuple(row.nutrients.split()),
            action=row.action,
            text=row.text,
            detail=row.detail,
            for_owner=row.for_owner,
            source=row.source,
            certainty=row.certainty,
        )
        for row in MedicineCaution.objects.all()
    ]


def can_be_agreed(subject: str) -> bool:
    """Is there such a caution, and may a veterinarian agree to it? What is blocked is never opened."""
    if subject == LITTLE_ENERGY:
        return True
    actions = [
        *Caution.objects.filter(subject=subject).values_list("action", flat=True),
        *MedicineCaution.objects.filter(subject=subject).values_list("action", flat=True),
    ]
    return bool(actions) and BLOCK not in actions


@dataclass(frozen=True)
class Settable:
    """A nutrient for which a veterinarian may set a number, in the unit in which profiles state it.

    minimum: of the profile for adults per 1000 kcal, None where there is none.
    """

    nutrient: Nutrient
    unit: str
    minimum: float | None


def settable_nutrients(first: Iterable[str] = ()) -> list[Settable]:
    """Those that a caution is about first."""
    wanted = list(first)
    limits = profile_limits(Profile.objects.get(key=ADULT_PROFILE)).limits
    nutrients = Nutrient.objects.exclude(key__in=[*RATIOS, *NOT_SET])
    units, minima = limits["unit"].to_dict(), limits["minimum"].dropna().to_dict()
    settable = [Settable(each, units.get(each.key, each.unit), minima.get(each.key)) for each in nutrients]
    return sorted(settable, key=lambda each: (each.nutrient.key not in wanted, each.nutrient.order))


def sign_offs_of(patient: Patient) -> QuerySet[SignOff]:
    """All of them, those that were withdrawn too, without the bytes of their letters."""
    sign_offs = patient.sign_offs.select_related("recorded_by", "withdrawn_by", "letter")
    return sign_offs.defer("letter__content").prefetch_related("numbers__nutrient")
