"""What is on record already, and the records' own rules for what a line says."""

from datetime import date

from django.core.exceptions import ValidationError
from django.utils import timezone

from patients.bring_in.columns import BY_KEY, DOG, OWNER
from patients.bring_in.lines import Line, weigh_in_note
from patients.bring_in.records import DogRecord, OwnerRecord, Records
from patients.dog_checks import birth_problem
from patients.models import Condition, HomeWeighIn, Owner, Patient, Visit

OWNER_FIELDS = ("second_name", "email", "phone", "second_phone")
DOG_FIELDS = ("name", "breed", "sex", "born", "born_is_estimate", "expected_adult_kg", "microchip")


def standing_records() -> Records:
    """All owners and dogs, but those merged into others."""
    owners = {owner.pk: _owner(owner) for owner in Owner.objects.kept()}
    dogs = {
        dog.pk: DogRecord(
            owners[dog.owner_id],
            {key: getattr(dog, key) for key in DOG_FIELDS},
            pk=dog.pk,
            closed=dog.why_not_fed,
        )
        for dog in Patient.objects.kept().filter(owner__in=owners)
    }
    for model in (HomeWeighIn, Visit):
        for pk, day, kg, left_out in model.objects.values_list("patient", "date", "weight_kg", "left_out"):
            if dog := dogs.get(pk):
                dog.weights[day] = kg
                (dog.doubted.add if left_out else dog.doubted.discard)(day)
    return Records(owners.values(), dogs.values())


def faults(line: Line) -> list[str]:
    """What the rules of an owner's and a dog's record say against the values of a line."""
    wrong = [
        *_field_faults(Owner, line.part(OWNER)),
        *_field_faults(Patient, line.part(DOG)),
        *_day_faults(line, timezone.localdate()),
    ]
    if len(weigh_in_note(line.values)) > HomeWeighIn._meta.get_field("note").max_length:
        wrong.append(f"{BY_KEY['note'].label}: too long, shorten it")
    longest = Condition._meta.get_field("name").max_length
    if any(len(name) > longest for name in line.values.get("conditions", ())):
        wrong.append(f"a medical condition has more than {longest} characters")
    return wrong


def _owner(owner: Owner) -> OwnerRecord:
    told = {key: getattr(owner, key) for key in OWNER_FIELDS}
    return OwnerRecord({"owner": owner.name} | {key: value for key, value in told.items() if value}, owner.pk)


def _field_faults(model: type, values: dict) -> list[str]:
    wrong = []
    for key, value in values.items():
        if key == "conditions":
            continue
        try:
            model._meta.get_field("name" if key == "owner" else key).clean(value, None)
        except ValidationError as problem:
            wrong.append(f"{BY_KEY[key].label}: {' '.join(problem.messages)}")
    return wrong


def _day_faults(line: Line, today: date) -> list[str]:
    born, neutered_on = line.values.get("born"), line.values.get("neutered_on")
    wrong = [birth_problem(born, today)] if born else []
    if neutered_on and not line.values.get("neutered"):
        wrong.append("neutered when: the line does not say that the dog is neutered")
    for key in ("neutered_on", "consented_on"):
        day = line.values.get(key)
        if day and day > today:
            wrong.append(f"{BY_KEY[key].label}: this day lies in the future")
    if born and neutered_on and neutered_on < born:
        wrong.append("neutered when: this day lies before the birth")
    return [words for words in wrong if words]
