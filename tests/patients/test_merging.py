"""Two records of one dog, or of one owner, become one: nothing is lost and nothing else is changed."""

from datetime import date, timedelta
from itertools import count

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nutrients.models import Nutrient
from patients import pdf
from patients.belongings import belongings, with_merged
from patients.merge_preview import BOTH, KEPT, OTHER, Preview, fields_asked
from patients.merging import merge
from patients.models import (
    AgreedNumber,
    Contact,
    DietItem,
    HomeWeighIn,
    IntakeDraft,
    Owner,
    Patient,
    Photo,
    Plan,
    Recall,
    RecallCall,
    Sheet,
    SheetWithdrawal,
    SignOff,
    SignOffLetter,
    TabletCount,
    Task,
)
from patients.queries import sheets_of
from patients.services import issue_sheet
from tests import cast
from tests.patients.feeding import make_practice, make_whole_plan

pytestmark = pytest.mark.django_db
DAY = date(2026, 3, 2)


def full_record(dog: Patient, *, by, version, recall, apart: int, said: str) -> None:
    """One of everything that can belong to a dog. apart: days after DAY, so that two records clash or not."""
    day = DAY + timedelta(days=apart)
    visit = cast.make_visit(dog, date=day, notes=said)
    DietItem.objects.create(visit=visit, what=said)
    TabletCount.objects.create(visit=visit, what=said, had=9, left=2)
    dog.conditions.create(name=said)
    dog.conditions.create(name="told in both")
    dog.avoids.create(word=said, reason="itching")
    dog.medicines.create(name=said)
    dog.given_supplements.create(name=said)
    dog.lab_results.create(date=day, what="creatinine", value="1")
    HomeWeighIn.objects.create(patient=dog, date=day, weight_kg=18, note=said)
    Contact.objects.create(owner=dog.owner, patient=dog, text=said, by=by)
    Task.objects.create(owner=dog.owner, patient=dog, text=said)
    IntakeDraft.objects.create(person=by, key=f"00000000-0000-0000-0000-{dog.pk:012}", patient=dog)
    Photo.objects.create(patient=dog, jpeg=said.encode())
    sign_off = SignOff.objects.create(
        patient=dog, subject=f"caution {apart}", veterinarian=said, clinic="Sallow", agreed_on=DAY,
        agreed="yes", recorded_by=by,
    )  # fmt: skip
    nutrient = Nutrient.objects.get(key="fat")
    AgreedNumber.objects.create(sign_off=sign_off, nutrient=nutrient, per_1000_kcal=30, unit="g")
    SignOffLetter.objects.create(
        sign_off=sign_off, name="a.pdf", kind="application/pdf", size=1, content=b"x"
    )
    plan = cast.make_plan(dog, version, state=Plan.State.ISSUED, note=said)
    sheet = Sheet.objects.create(
        plan=plan, patient=dog, number=1, issued_by=by, expires_on=DAY, record={"of": said}, pdf=b"%PDF",
        sha256="0",
    )  # fmt: skip
    RecallCall.objects.create(recall=recall, patient=dog, sheet=sheet, note=said)
    SheetWithdrawal.objects.create(sheet=sheet, by=by, reason=said)


def make_recall(entry: int) -> Recall:
    now = timezone.now()
    return Recall.objects.create(
        kind="limit", entry=entry, entries=[], what="Chalk", before={}, after={}, corrected_at=now,
        touched={}, worked_out_at=now,
    )  # fmt: skip


NUMBERS = count(1)


@pytest.fixture
def two(practitioner):
    """Makes a kept and an other record, each with one of everything, that clash or not."""
    version = cast.make_recipe(approved_by=practitioner)

    def make(clashing: bool = True) -> tuple[Patient, Patient]:
        owner, recall = cast.make_owner(), make_recall(next(NUMBERS))
        kept, other = cast.make_patient(owner), cast.make_patient(owner, medical_notes="from the other")
        for dog, said, apart in ((kept, "ours", 0), (other, "theirs", 0 if clashing else 5)):
            called = recall if clashing or dog is kept else make_recall(next(NUMBERS))
            full_record(dog, by=practitioner, version=version, recall=called, apart=apart, said=said)
        return kept, other

    return make


def everything(*dogs: Patient) -> dict[tuple[str, int], dict]:
    """Every belonging of the dogs with all that it says, but for whose it is and whether its plan is fed."""
    found = {}
    for belonging in belongings(Patient):
        for dog in dogs:
            for row in belonging.of(dog):
                said = {
                    field.attname: getattr(row, field.attname)
                    for field in belonging.model._meta.concrete_fields
                    if field.name not in ("patient", "state")
                }
                found[belonging.model.__name__, row.pk] = {
                    name: bytes(value) if isinstance(value, memoryview) else value
                    for name, value in said.items()
                }
    return found


def answers_for(preview: Preview, pick=lambda: KEPT) -> dict[str, str]:
    keys = [each.key for each in (*preview.differences, *preview.clashes)]
    return {key: pick() for key in (*keys, "fed")}


def do_merge(kept, other, pick=lambda: KEPT, **answers):
    preview = Preview(Patient.objects.get(pk=kept.pk), Patient.objects.get(pk=other.pk))
    return merge(
        kept=kept,
        other=other,
        state=preview.state,
        answers=answers_for(preview, pick) | answers,
        reason="twice",
    )


def test_the_records_made_here_hold_one_of_everything(two):
    kept, other = two()
    for dog in (kept, other):
        assert {name for name, _ in everything(dog)} == {each.model.__name__ for each in belongings(Patient)}


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data(), clashing=st.booleans())
def test_every_belonging_of_both_is_reached_from_the_kept_one_and_nothing_else_is_changed(
    two, data, clashing
):
    """Whatever is chosen; also what belongs to a dog beside them."""
    beside, _ = two()
    kept, other = two(clashing)
    before, apart = everything(kept, other), everything(beside)
    others_fields = models_values(other)
    merged = do_merge(kept, other, pick=lambda: data.draw(st.sampled_from([KEPT, OTHER])))
    assert everything(merged) == before
    assert everything(beside) == apart
    assert models_values(Patient.objects.get(pk=other.pk)) == others_fields
    assert (
        Patient.objects.filter(name="between").count() == Patient.history.filter(name="between").count() == 0
    )


def models_values(dog: Patient) -> dict:
    return {
        field.attname: getattr(dog, field.attname)
        for field in Patient._meta.concrete_fields
        if field.name != "merged_into"
    }


@pytest.mark.parametrize("side", [KEPT, OTHER])
def test_of_two_that_clash_the_chosen_one_counts(two, side):
    kept, other = two()
    dog = do_merge(kept, other, pick=lambda: side)
    chosen, rest = ("ours", "theirs") if side == KEPT else ("theirs", "ours")
    other.refresh_from_db()
    for owner, said in ((dog, chosen), (other, rest)):
        owner = Patient.objects.get(pk=owner.pk)
        assert [visit.notes for visit in owner.visits.all()] == [said]
        assert [weighed.note for weighed in owner.home_weigh_ins.all()] == [said]
        assert [sign_off.veterinarian for sign_off in owner.sign_offs.all()] == [said]
        assert [call.note for call in owner.recall_calls.all()] == [said]
        assert bytes(owner.photo.jpeg) == said.encode()
    fed = dog.plans.get(state=Plan.State.ISSUED)
    assert fed.note == chosen
    assert dog.plans.get(state=Plan.State.ENDED).note == rest


def test_without_a_clash_everything_but_sheets_moves(two):
    kept, other = two(clashing=False)
    dog = do_merge(kept, other)
    assert dog.visits.count() == 2
    left = {
        each.model.__name__ for each in belongings(Patient) if each.is_direct
        and each.model._default_manager.filter(patient=other).exists()
    }  # fmt: skip
    assert left == {"Condition", "Photo", "Sheet"}  # told in both; the kept dog's photo; sheets never change
    assert [row.name for row in other.conditions.all()] == ["told in both"]


def test_the_moves_stand_in_the_history_with_the_reason(two, practitioner):
    kept, other = two(clashing=False)
    do_merge(kept, other)
    other.refresh_from_db()
    assert other.merged_into == kept
    assert kept.history.first().history_change_reason == f"merged with record {other.pk}: twice"
    assert other.history.first().history_change_reason == f"merged into record {kept.pk}: twice"
    moved = kept.visits.get(notes="theirs").history.first()
    assert (moved.patient_id, moved.history_change_reason) == (
        kept.pk,
        f"merged with record {other.pk}: twice",
    )


class TestFields:
    def test_the_chosen_values_stay(self, two):
        kept, other = two()
        Patient.objects.filter(pk=kept.pk).update(breed="hound", medical_notes="first")
        Patient.objects.filter(pk=other.pk).update(
            breed="beagle", medical_notes="second", microchip="123456789"
        )
        preview = Preview(Patient.objects.get(pk=kept.pk), Patient.objects.get(pk=other.pk))
        asked = {each.key: (each.at_first, each.can_join) for each in preview.differences}
        assert asked == {
            "field-breed": (KEPT, False),
            "field-microchip": (OTHER, False),
            "field-medical_notes": (KEPT, True),
        }
        chosen = {"field-breed": KEPT, "field-microchip": OTHER, "field-medical_notes": BOTH}
        dog = do_merge(kept, other, **chosen)
        assert (dog.breed, dog.microchip, dog.medical_notes) == ("hound", "123456789", "first\nsecond")

    def test_fields_that_say_one_thing_are_chosen_together(self, two):
        kept, other = two()
        Patient.objects.filter(pk=other.pk).update(born=date(2018, 1, 1), born_is_estimate=True)
        dog = do_merge(kept, other, **{"field-born": OTHER})
        assert (dog.born, dog.born_is_estimate) == (date(2018, 1, 1), True)

    def test_a_dog_that_died_has_no_recheck(self, two):
        kept, other = two()
        Patient.objects.filter(pk=kept.pk).update(next_recheck=timezone.localdate())
        Patient.objects.filter(pk=other.pk).update(status="deceased", left_on=DAY + timedelta(days=9))
        dog = do_merge(kept, other, **{"field-status": OTHER})
        assert (dog.status, dog.next_recheck) == ("deceased", None)

    def test_what_cannot_be_true_together_is_refused_and_nothing_is_written(self, two):
        kept, other = two()
        Patient.objects.filter(pk=other.pk).update(born=DAY + timedelta(days=30))
        before = everything(kept)
        with pytest.raises(ValidationError, match="seen before the birth date"):
            do_merge(kept, other, **{"field-born": OTHER})
        assert everything(kept) == before
        assert not Patient.objects.filter(merged_into__isnull=False).exists()


class TestRefusals:
    def test_a_record_changed_since_it_was_looked_at(self, two):
        kept, other = two()
        state = Preview(kept, other).state
        cast.make_visit(other, date=DAY + timedelta(days=3))
        with pytest.raises(ValidationError, match="changed in the meantime"):
            merge(kept=kept, other=other, state=state, answers={}, reason="twice")

    def test_itself_and_one_that_was_merged(self, two):
        kept, other = two()
        with pytest.raises(ValidationError, match="one and the same"):
            merge(kept=kept, other=kept, state="", answers={}, reason="twice")
        do_merge(kept, other)
        third = cast.make_patient(kept.owner)
        for pair in ((third, other), (other, third)):
            with pytest.raises(ValidationError, match="merged already"):
                do_merge(*pair)


def test_one_call_about_the_dog_is_left_to_make():
    owner, recall = cast.make_owner(), make_recall(1)
    kept, other = cast.make_patient(owner), cast.make_patient(owner)
    calls = [RecallCall.objects.create(recall=recall, patient=dog) for dog in (kept, other)]
    assert RecallCall.objects.to_make().count() == 2
    do_merge(kept, other)
    assert list(RecallCall.objects.to_make()) == calls[:1]
    assert [call.is_waiting for call in RecallCall.objects.with_new_sheet().order_by("pk")] == [True, False]


def test_three_records_of_one_dog_end_in_one(two):
    kept, other = two()
    last, _ = two(clashing=False)
    before = everything(kept, other, last)
    do_merge(kept, other)
    dog = do_merge(last, kept)
    assert with_merged(dog) == [last, kept, other]
    assert everything(dog) == before


def test_new_sheets_are_numbered_on_from_both(practitioner, monkeypatch):
    monkeypatch.setattr(pdf, "render", lambda record: b"%PDF")
    plan = make_whole_plan(practitioner)
    other = cast.make_patient(plan.patient.owner)
    of_other = cast.make_plan(other, plan.recipe_version, state=Plan.State.ENDED)
    sheet = Sheet.objects.create(
        plan=of_other, patient=other, number=4, issued_by=practitioner, expires_on=DAY, record={},
        pdf=b"%PDF", sha256="0",
    )  # fmt: skip
    dog = do_merge(plan.patient, other)
    issued = issue_sheet(
        plan=plan, by=practitioner, practice=make_practice(), acknowledged=True, reason="merged"
    )
    assert issued.number == 5
    assert list(sheets_of(dog)) == [issued, sheet]


class TestOwners:
    def test_dogs_contacts_and_tasks_go_over_and_sheets_keep_the_name(self, two, practitioner):
        dog, _ = two()
        other = dog.owner
        Owner.objects.filter(pk=other.pk).update(name="T. Marrow", email="t@example.org")
        other.refresh_from_db()
        kept = cast.make_owner("Tilda Marrow")
        pdf = Sheet.objects.filter(patient=dog).get().record
        preview = Preview(kept, other)
        answers = {each.key: each.at_first for each in preview.differences}
        merged = merge(kept=kept, other=other, state=preview.state, answers=answers, reason="written twice")
        assert (merged.name, merged.email) == ("Tilda Marrow", "t@example.org")
        assert merged.patients.count() == 2
        assert (merged.contacts.count(), merged.tasks.count()) == (2, 2)
        assert Sheet.objects.filter(patient=dog).get().record == pdf
        other.refresh_from_db()
        assert (other.merged_into, other.name) == (kept, "T. Marrow")


@pytest.mark.parametrize("model", [Patient, Owner])
def test_every_field_is_asked_about_once(model):
    asked = [name for names in fields_asked(model) for name in names]
    every = [field.name for field in model._meta.concrete_fields]
    assert sorted([*asked, "id", "merged_into"]) == sorted(every)
