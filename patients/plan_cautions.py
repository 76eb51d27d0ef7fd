"""A plan's cautions, each with what it brings of the nutrients concerned and what was agreed. Pure."""

from dataclasses import dataclass

from nutrients.adequacy_table import adequacy_rows
from patients.agreements import LITTLE_ENERGY, Agreement, NumberAnswer, held_against
from patients.cautions import BLOCK, AppliedCaution
from patients.sheet.words import known_amount
from patients.workings import Workings


@dataclass(frozen=True)
class PlanCaution:
    """brings: amounts per 1000 kcal in words; agreement: the veterinarian's that stands, if any."""

    caution: AppliedCaution
    agreement: Agreement | None
    brings: tuple[str, ...] = ()

    @property
    def can_be_signed(self) -> bool:
        return self.caution.action != BLOCK


@dataclass(frozen=True)
class PlanCautions:
    """answers: every number that the dog's veterinarian set, held against this batch. energy: an agreement to
    less energy, where there is one.
    """

    rows: tuple[PlanCaution, ...]
    answers: tuple[NumberAnswer, ...]
    energy: Agreement | None


def plan_cautions(workings: Workings) -> PlanCautions:
    dog, batch = workings.dog, workings.batch
    rows = {row.key: row for row in adequacy_rows(batch.strictest)} if batch else {}
    return PlanCautions(
        rows=tuple(
            PlanCaution(
                caution,
                dog.agreement_on(caution.subject),
                tuple(known_amount(rows[key]) for key in caution.nutrients if key in rows),
            )
            for caution in workings.cautions
        ),
        answers=held_against(dog.agreements, batch.analysis) if batch else (),
        energy=dog.agreement_on(LITTLE_ENERGY),
    )
