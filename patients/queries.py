"""Reads of the dogs' records: the list, a dog's present plan, weights and diet."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import OuterRef, Q, QuerySet, Subquery

from patients.belongings import with_merged
from patients.models import Contact, DietItem, HomeWeighIn, Owner, Patient, Plan, Sheet, Visit
from patients.search import present_plans
from patients.weigh_ins import WeighIn, weigh_ins


@dataclass(frozen=True)
class ListedPatient:
    patient: Patient
    visit: Visit | None
    plan: Plan | None


def owners_matching(words: str) -> QuerySet[Owner]:
    """Owners with every word in their names, phone numbers or e-mail."""
    owners = Owner.objects.kept().order_by("name", "pk")
    for word in words.split():
        owners = owners.filter(
            Q(name__icontains=word)
            | Q(second_name__icontains=word)
            | Q(phone__icontains=word)
            | Q(email__icontains=word)
        )
    return owners


def present_plan(patient: Patient) -> Plan | None:
    """The plan that is fed; when none was issued, the newest draft."""
    return present_plans(patient).select_related("recipe_version__recipe", "profile__standard").first()


def listed(patients: QuerySet[Patient]) -> list[ListedPatient]:
    """The dogs of one page, each with its last visit and its present plan, in three queries."""
    last = Visit.objects.counted().filter(patient=OuterRef("pk")).values("pk")[:1]
    plan = present_plans(OuterRef("pk")).values("pk")[:1]
    dogs = list(patients.annotate(last_visit=Subquery(last), plan=Subquery(plan)))
    visits = Visit.objects.in_bulk([dog.last_visit for dog in dogs])
    plans = Plan.objects.select_related("recipe_version__recipe").in_bulk([dog.plan for dog in dogs])
    return [ListedPatient(dog, visits.get(dog.last_visit), plans.get(dog.plan)) for dog in dogs]


@dataclass(frozen=True)
class Weighed:
    """A weigh-in of the practice (`visit`) or of the owner (`home`): one of the two is None."""

    visit: Visit | None
    entry: WeighIn
    home: HomeWeighIn | None = None

    @property
    def left_out(self) -> bool:
        return (self.visit or self.home).left_out


def contacts_of(owner: Owner) -> QuerySet[Contact]:
    """What was said with an owner, the newest first; changed_at: when an entry was last mended, if it was."""
    mended = Contact.history.filter(id=OuterRef("pk"), history_type="~").order_by("-history_date")
    changed_at = Subquery(mended.values("history_date")[:1])
    return owner.contacts.select_related("patient", "by").annotate(changed_at=changed_at)


def weights_of(patient: Patient, *, with_left_out: bool = False) -> list[Weighed]:
    """Weigh-ins of the practice and of the owner, the first one first; of one day, the practice's comes last.

    One that is left out of the curve is asked for; it has no change, and none is measured against it.
    """
    records = [*patient.home_weigh_ins.all(), *patient.visits.all()]
    return _weighed(record for record in records if with_left_out or not record.left_out)


def weighed_visits(patient: Patient) -> list[Weighed]:
    """The practice's own weigh-ins, each with its change since the one before, the first one first."""
    return _weighed(visit for visit in patient.visits.all() if not visit.left_out)


def newest_visit(patient: Patient) -> Visit | None:
    """The last time the dog was seen, whether or not its weight is believed."""
    return next(iter(patient.visits.all()), None)


def sheets_of(patient: Patient) -> QuerySet[Sheet]:
    """Those that were issued under a record that was merged into this one too: a sheet never changes."""
    return Sheet.objects.filter(patient__in=with_merged(patient))


def _weighed(records: Iterable[Visit | HomeWeighIn]) -> list[Weighed]:
    ordered = sorted(records, key=lambda record: (record.date, isinstance(record, Visit), record.pk))
    counted = [record for record in ordered if not record.left_out]
    entries = iter(weigh_ins((record.date, record.weight_kg) for record in counted))
    return [
        Weighed(
            visit=record if isinstance(record, Visit) else None,
            entry=WeighIn(record.date, record.weight_kg) if record.left_out else next(entries),
            home=record if isinstance(record, HomeWeighIn) else None,
        )
        for record in ordered
    ]


def last_diet(patient: Patient) -> list[DietItem]:
    """What the dog ate at the last visit at which that was asked."""
    newest = patient.visits.filter(diet_items__isnull=False).values("pk")[:1]
    return list(
        DietItem.objects.filter(visit=Subquery(newest)).select_related("visit", "food").order_by("pk")
    )


def weighed_young(patient: Patient) -> tuple[float, float] | None:
    """The last weight that is believed [kg] and the dog's age then [weeks]."""
    weights = weights_of(patient)
    last = weights[-1].entry if weights else None
    return (last.kg, (last.day - patient.born).days / 7) if last and last.day > patient.born else None
