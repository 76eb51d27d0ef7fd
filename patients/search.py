"""What a search for a dog means, its words and filters: one for the list, its CSV and the top bar."""

import re
import unicodedata
from collections import defaultdict
from datetime import date

from django.db.models import Case, F, OuterRef, Q, QuerySet, Subquery, When

from patients.models import Condition, Patient, Plan, Sheet
from patients.stage_search import in_stage

TEXTS = (
    "name", "breed", "microchip", "owner__name", "owner__second_name", "owner__email",
    "owner__phone", "owner__second_phone",
)  # fmt: skip
PHONES = 2  # of the texts, the last ones
FEWEST_DIGITS = 3  # fewer are no part of a phone number worth looking for
NOT_A_DIGIT = re.compile(r"\D+")
ORDERS = {
    "name": ("name", "pk"),
    "owner": ("owner__name", "name", "pk"),
    "recheck": (F("next_recheck").asc(nulls_last=True), "name", "pk"),
    "newest": ("-pk",),
}


def patients_matching(words: str) -> QuerySet[Patient]:
    """Dogs of which every word stands in the name, breed, microchip, a condition, or in the owner's names,
    e-mail or phone numbers: whatever the accents, capitals and the spaces between digits.
    """
    patients = Patient.objects.kept().select_related("owner").order_by(*ORDERS["name"])
    wanted = folded(words).split()
    return patients.filter(pk__in=_holding(wanted)) if wanted else patients


def _holding(wanted: list[str]) -> list[int]:
    conditions = defaultdict(list)
    for pk, name in Condition.objects.values_list("patient_id", "name"):
        conditions[pk].append(name)
    found = []
    for pk, *texts in Patient.objects.kept().values_list("pk", *TEXTS):
        text = folded(" ".join([*texts, *conditions[pk]]))
        digits = " ".join(NOT_A_DIGIT.sub("", phone) for phone in texts[-PHONES:])
        if all(word in text or _is_in(word, digits) for word in wanted):
            found.append(pk)
    return found


def _is_in(word: str, digits: str) -> bool:
    """A number typed with or without its dashes."""
    number = NOT_A_DIGIT.sub("", word)
    return len(number) >= FEWEST_DIGITS and number in digits


def folded(text: str) -> str:
    """Without capitals, accents and marks, so that `Bär` is found by `bar`."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def present_plans(of_patient) -> QuerySet[Plan]:
    """The plans that have not ended, the one that is fed first."""
    issued_first = Case(When(state=Plan.State.ISSUED, then=0), default=1)
    plans = Plan.objects.filter(patient=of_patient).exclude(state=Plan.State.ENDED)
    return plans.order_by(issued_first, "-created_at")


def filtered(patients: QuerySet[Patient], wanted: dict, today: date) -> QuerySet[Patient]:
    """wanted: the cleaned values of `PatientSearchForm`; an empty one filters nothing."""
    if status := wanted.get("status"):
        patients = patients.filter(status=status)
    if stage := wanted.get("stage"):
        patients = in_stage(patients, stage, today)
    if goal := wanted.get("goal"):
        patients = patients.annotate(goal=Subquery(present_plans(OuterRef("pk")).values("goal")[:1]))
        patients = patients.filter(goal=goal)
    if waits := wanted.get("waits"):
        patients = _waiting(patients, waits, today)
    return patients.order_by(*ORDERS[wanted.get("order") or "name"])


def _waiting(patients: QuerySet[Patient], waits: str, today: date) -> QuerySet[Patient]:
    if waits == "recheck":
        return patients.filter(next_recheck__lt=today)
    if waits == "plan":
        return patients.exclude(pk__in=Plan.objects.exclude(state=Plan.State.ENDED).values("patient"))
    newest = Sheet.objects.filter(patient=OuterRef("pk")).order_by("-number")
    patients = patients.annotate(
        good_until=Subquery(newest.values("expires_on")[:1]),
        withdrawn=Subquery(newest.values("withdrawal")[:1]),
    )
    return patients.filter(Q(good_until__lt=today) | Q(withdrawn__isnull=False))
