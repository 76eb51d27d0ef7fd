"""Works a plan out and issues its take-home sheet."""

from dataclasses import replace
from datetime import timedelta
from hashlib import sha256

from django.contrib.auth.models import AbstractUser
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from patients import pdf, plan_queries
from patients.alternative_queries import alternatives_of
from patients.issuing import USUAL, Gate, GoodDays, expires_on, gate
from patients.leave_in import of_batch
from patients.models import Patient, Plan, Sheet
from patients.owner_language import told_to
from patients.queries import sheets_of, weights_of
from patients.sentences import introduce
from patients.sheet.answers import SignOff
from patients.sheet.cooking import Recipe
from patients.sheet.record import Issue, assemble
from patients.shopping_queries import shopping_of
from patients.workings import Workings, work
from recipes.analysis import LIQUID_KEPT
from recipes.models import RecipeVersion

SAY_WHY = "Say why a new sheet is issued: it stands on top of it."
PRACTICE_PARTICULARS = ("name", "address", "phone", "email", "paper")
LOOKS = ("accent", "logo")  # of a sheet, beside them


def work_out(plan: Plan) -> Workings:
    """Everything that follows from a plan, saved or not: energy, batch, doses, adequacy, portions, cautions.

    What is wrong with it stands in `problems` as (field, sentence).
    """
    dog = plan_queries.dog_of(plan.patient, timezone.localdate())
    grounds = plan_queries.grounds_of(plan.recipe_version, plan.profile, plan.other_food)
    return work(plan, dog, grounds, plan_queries.cautions_for(dog, plan.goal, grounds))


def draft_of(plan: Plan) -> Plan:
    """The plan itself while it is a draft; else an unsaved copy that will take over from it."""
    if plan.state == Plan.State.DRAFT:
        return plan
    earlier = Plan.objects.get(pk=plan.pk)
    plan.pk, plan._state.adding = None, True
    plan.state, plan.supersedes = Plan.State.DRAFT, earlier
    return plan


def good_days(practice) -> GoodDays:
    return GoodDays(practice.puppy_days, practice.loss_days, practice.adult_days)


def gate_of(plan: Plan, workings: Workings, practice=None) -> Gate:
    """On what conditions a sheet may be issued from this plan. practice: says how long a sheet is good."""
    return gate(
        workings,
        today=timezone.localdate(),
        approved=plan.recipe_version.in_use,
        ended=plan.state == Plan.State.ENDED,
        not_in_care=plan.patient.why_not_fed,
        next_recheck=plan.patient.next_recheck,
        good=good_days(practice) if practice else USUAL,
    )


@transaction.atomic
def issue_sheet(
    *,
    plan: Plan,
    by: AbstractUser,
    practice,
    acknowledged: bool = False,
    sign_off: SignOff | None = None,
    reason: str = "",
) -> Sheet:
    """Freeze the plan as it stands into a numbered sheet with its PDF; earlier issued plans of the dog end.

    practice: its particulars (PRACTICE_PARTICULARS and recheck_days). acknowledged: `by` has read and
    accepted the open limits. reason: why a dog that has a sheet gets a new one. Raises ValidationError, a
    plain sentence per reason, when it may not be issued.
    """
    patient = Patient.objects.select_for_update().get(pk=plan.patient_id)
    plan = Plan.objects.get(pk=plan.pk)  # as it stands now, whatever the caller holds
    plan.full_clean()
    workings = work_out(plan)
    conditions = gate_of(plan, workings, practice)
    earlier = sheets_of(patient).defer("pdf").order_by("-number").first()
    _refuse_unless_met(conditions, acknowledged, sign_off)
    if earlier and not reason.strip():
        raise ValidationError(SAY_WHY)
    today = timezone.localdate()
    expires = expires_on(today, workings.dog, plan.goal, good_days(practice))
    with told_to(patient.owner):
        told = gate_of(plan, workings, practice)
    issue = Issue(
        number=earlier.number + 1 if earlier else 1,
        by=by.get_full_name() or by.get_username(),
        on=today,
        expires_on=expires,
        next_recheck=_book_recheck(patient, min(today + timedelta(days=practice.recheck_days), expires)),
        accepted=told.to_acknowledge,
        sign_off=replace(sign_off, covers=told.sign_off_for) if conditions.sign_off_for else None,
        earlier=earlier.record if earlier else None,
        reason=reason.strip(),
    )
    _start(plan)
    with told_to(patient.owner):
        record = _record(plan, workings, issue, practice)
    printed = pdf.render(record)
    sheet = Sheet(
        plan=plan, patient=patient, number=issue.number, issued_by=by, expires_on=expires,
        record=record, pdf=printed, sha256=sha256(printed).hexdigest(),
    )  # fmt: skip
    sheet.full_clean()
    sheet.save()
    return sheet


def preview_sheet(plan: Plan, by: AbstractUser, practice) -> bytes:
    """The sheet's PDF as it would be issued now, marked as a preview. Nothing is written.

    Raises ValidationError, a plain sentence per reason, when none could be issued.
    """
    workings = work_out(plan)
    if refusals := gate_of(plan, workings, practice).refusals:
        raise ValidationError(list(refusals))
    today = timezone.localdate()
    earlier = sheets_of(plan.patient).defer("pdf").order_by("-number").first()
    with told_to(plan.patient.owner):
        issue = Issue(
            number=earlier.number + 1 if earlier else 1,
            by=by.get_full_name() or by.get_username(),
            on=today,
            expires_on=expires_on(today, workings.dog, plan.goal, good_days(practice)),
            next_recheck=plan.patient.next_recheck,
            accepted=gate_of(plan, workings, practice).to_acknowledge,
        )
        record = _record(plan, workings, issue, practice)
    return pdf.render(record | {"preview": True})


def unaltered(sheet: Sheet) -> bool:
    """Is the stored PDF still the one whose checksum was taken when it was issued?"""
    return sha256(sheet.pdf).hexdigest() == sheet.sha256


def _refuse_unless_met(conditions: Gate, acknowledged: bool, sign_off: SignOff | None) -> None:
    reasons = list(conditions.refusals)
    if conditions.needs_tick and not acknowledged:
        reasons.append("Read what is open or wants care, and tick that you accept it.")
    if conditions.sign_off_for and sign_off is None:
        reasons.append("Enter the veterinarian who agreed, the clinic and the date.")
    if reasons:
        raise ValidationError(reasons)


def _book_recheck(patient: Patient, day):
    """The dog's next re-check; set to `day` when none lies ahead."""
    if patient.next_recheck is None or patient.next_recheck <= timezone.localdate():
        patient.next_recheck = day
        patient.save(update_fields=["next_recheck"])
    return patient.next_recheck


def _start(plan: Plan) -> None:
    """The plan is the one that is fed now; those fed before have ended."""
    for earlier in plan.patient.plans.filter(state=Plan.State.ISSUED).exclude(pk=plan.pk):
        earlier.state = Plan.State.ENDED
        earlier.save(update_fields=["state"])
    plan.state = Plan.State.ISSUED
    plan.save(update_fields=["state"])


def _record(plan: Plan, workings: Workings, issue: Issue, practice) -> dict:
    visit = plan_queries.last_visit(plan.patient)
    foods = [portion.food for portion in workings.batch.scaled.portions()]
    alternatives = [each for each in alternatives_of(plan, workings) if each.offered]
    return assemble(
        workings,
        issue=issue,
        recipe=_recipe(plan.recipe_version),
        leave_in=of_batch(plan, workings.batch, plan_queries.grounds_of(plan.recipe_version, plan.profile)),
        practice={name: getattr(practice, name) for name in (*PRACTICE_PARTICULARS, *LOOKS)},
        sentence=introduce(plan.patient, issue.on, visit, plan),
        owner=plan.patient.owner.name,
        weighed_on=visit.date,
        food_data=plan_queries.releases_of([*foods, *(each.swap.portion.food for each in alternatives)]),
        shopping=shopping_of(workings),
        treats=plan_queries.treats_of(plan.extras_kcal, workings.dog),
        currency=practice.currency,
        weights=[(each.entry.day, each.entry.kg) for each in weights_of(plan.patient)],
        alternatives=alternatives,
    )


def _recipe(version: RecipeVersion) -> Recipe:
    steps = version.kitchen_steps.values_list("text", "minutes", "temperature_c")
    return Recipe(
        title=version.recipe.title,
        version=version.number,
        method=version.get_method_display(),
        approved_by=version.approved_by.get_full_name() or version.approved_by.get_username(),
        approved_on=timezone.localdate(version.approved_at),
        steps=list(steps),
        keeps_liquid=version.method in LIQUID_KEPT,
    )
