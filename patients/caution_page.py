"""The cautions that apply to a dog and its present plan, each with what its veterinarian agreed to."""

from collections.abc import Sequence
from dataclasses import dataclass

from patients.agreements import LITTLE_ENERGY, NumberAnswer, held_against
from patients.cautions import BLOCK, NUTRIENTS, SIGN_OFF, AppliedCaution, Feeding
from patients.dog import Dog
from patients.models import MedicineCaution, Patient, Plan, SignOff
from patients.plan_queries import cautions_of
from patients.services import work_out
from patients.sign_off_queries import agreement, sign_offs_of
from recipes.queries import portions_of


@dataclass(frozen=True)
class SignedOff:
    """A sign-off, with the numbers it sets held against the present plan; no answers without a plan."""

    sign_off: SignOff
    terms: tuple[str, ...]
    answers: tuple[NumberAnswer, ...] = ()


@dataclass(frozen=True)
class CautionRow:
    caution: AppliedCaution
    signed: SignedOff | None

    @property
    def can_be_signed(self) -> bool:
        return self.caution.action != BLOCK

    @property
    def waits(self) -> bool:
        """Nothing can be issued before the veterinarian has agreed."""
        return self.caution.action == SIGN_OFF and self.signed is None


@dataclass(frozen=True)
class Cautions:
    """rows: those that apply. others: sign-offs that stand and whose caution does not apply now. withdrawn:
    those that no longer hold. asks_energy: whether less energy than usual may be signed off.
    """

    rows: list[CautionRow]
    others: list[SignedOff]
    withdrawn: list[SignedOff]
    asks_energy: bool
    energy_subject: str = LITTLE_ENERGY

    @property
    def waiting(self) -> int:
        return sum(row.waits for row in self.rows)


def cautions_on_page(patient: Patient, dog: Dog, plan: Plan | None) -> Cautions:
    """plan: the present one, if any; its recipe is looked at too."""
    found = _applying(dog, plan)
    signed = _signed(sign_offs_of(patient), plan)
    standing = {each.sign_off.subject: each for each in signed if not each.sign_off.withdrawn_at}
    subjects = {caution.subject for caution in found}
    return Cautions(
        rows=[CautionRow(caution, standing.get(caution.subject)) for caution in found],
        others=[each for subject, each in standing.items() if subject not in subjects],
        withdrawn=[each for each in signed if each.sign_off.withdrawn_at],
        asks_energy=bool(dog.weight_kg) and not dog.needs_growth_profile and LITTLE_ENERGY not in standing,
    )


def _applying(dog: Dog, plan: Plan | None) -> tuple[AppliedCaution, ...]:
    if plan is None:
        return cautions_of(Feeding(dog, "", portions=(), method=""))
    version = plan.recipe_version
    return cautions_of(Feeding(dog, plan.goal, portions_of(version), version.method))


def _signed(sign_offs: Sequence[SignOff], plan: Plan | None) -> list[SignedOff]:
    agreements = {sign_off.pk: agreement(sign_off) for sign_off in sign_offs}
    standing = [agreements[each.pk] for each in sign_offs if not each.withdrawn_at]
    has_numbers = any(each.numbers for each in standing)
    batch = work_out(plan).batch if plan and has_numbers else None
    answers = held_against(standing, batch.analysis) if batch else ()
    return [
        SignedOff(
            sign_off,
            agreements[sign_off.pk].terms,
            tuple(answer for answer in answers if answer.agreement is agreements[sign_off.pk]),
        )
        for sign_off in sign_offs
    ]


def applying_caution(patient: Patient, dog: Dog, subject: str) -> AppliedCaution | None:
    """The caution of this subject, when it applies to the dog or one of its plans that has not ended."""
    plans = patient.plans.exclude(state=Plan.State.ENDED).select_related("recipe_version")
    found = (caution for plan in [*plans, None] for caution in _applying(dog, plan))
    return next((caution for caution in found if caution.subject == subject), None)


def about(subject: str) -> tuple[str, ...]:
    """The nutrients that a caution is about."""
    if subject in NUTRIENTS:
        return NUTRIENTS[subject]
    row = MedicineCaution.objects.filter(subject=subject).first()
    return tuple(row.nutrients.split()) if row else ()
