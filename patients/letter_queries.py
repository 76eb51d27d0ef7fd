"""Gathers what the letter to the referring veterinarian says, as everything stands now."""

from django.contrib.auth.models import AbstractUser
from django.utils import timezone

from patients.cautions import Feeding
from patients.letter import Fed, Seen, assemble
from patients.models import Patient, Plan, Visit
from patients.plan_queries import cautions_of, dog_of
from patients.queries import newest_visit, present_plan, weights_of
from patients.sentences import introduce, left_sentence, weight_of
from patients.services import PRACTICE_PARTICULARS, gate_of, work_out


def letter_record(patient: Patient, *, by: AbstractUser, practice) -> dict:
    """practice: its particulars (PRACTICE_PARTICULARS)."""
    today = timezone.localdate()
    plan, visit = present_plan(patient), newest_visit(patient)
    dog = dog_of(patient, today)
    fed = _fed(plan) if plan else None
    return assemble(
        dog,
        sentence=introduce(patient, today, visit, plan),
        owner=patient.owner.name,
        to=(patient.veterinarian, patient.clinic),
        practice={name: getattr(practice, name) for name in PRACTICE_PARTICULARS},
        by=by.get_full_name() or by.get_username(),
        on=today,
        seen=_seen(visit) if visit else None,
        weights=[weighed.entry for weighed in weights_of(patient)],
        cautions=fed.workings.cautions if fed else cautions_of(Feeding(dog, "", portions=(), method="")),
        fed=fed,
        next_recheck=patient.next_recheck,
        given_supplements=[each.told for each in patient.given_supplements.all()],
        left=left_sentence(patient),
        died=patient.status == Patient.Status.DECEASED,
    )


def _fed(plan: Plan) -> Fed:
    workings = work_out(plan)
    version = plan.recipe_version
    return Fed(
        workings=workings,
        gate=gate_of(plan, workings),
        recipe=version.recipe.title,
        version=version.number,
        method=version.get_method_display(),
        is_draft=plan.state == Plan.State.DRAFT,
    )


def _seen(visit: Visit) -> Seen:
    return Seen(
        on=visit.date,
        weight=weight_of(visit),
        bcs=visit.bcs,
        muscle=visit.get_mcs_display().lower(),
        appetite=visit.get_appetite_display().lower(),
        faecal_score=visit.faecal_score,
        notes=visit.notes,
        owner_tells=tuple(_owner_tells(visit)),
    )


def _owner_tells(visit: Visit) -> list[tuple[str, str]]:
    """What was asked; what nobody told is left out."""
    told = [
        ("in the bowl", visit.get_leftovers_display()),
        ("vomiting", {True: "yes", False: "no"}.get(visit.vomiting, "")),
        ("energy", visit.get_liveliness_display()),
        ("coat", visit.get_coat_display()),
        ("water drunk", visit.get_water_display()),
    ]
    return [(what, words) for what, words in told if words]
