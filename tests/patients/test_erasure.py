"""After an erasure no table holds a word by which the owner is known, but for what the setting keeps."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from patients.erasure import Subject, erase, lines_of, years_before
from patients.erasure_requests import (
    ask,
    confirm,
    erase_what_is_over,
    open_request,
    over_their_time,
    withdraw,
)
from patients.leaving import give_over
from patients.models import (
    Contact,
    ErasureRequest,
    Owner,
    Patient,
    Plan,
    Recall,
    RecallCall,
    Sheet,
    SignOff,
    SignOffLetter,
    Visit,
)
from practice.models import PracticeProfile
from tests import cast
from tests.patients.owners_data import DOG, NAME, TODAY, WORDS, age_sheets, make_full_owner

pytestmark = pytest.mark.django_db
YEARS = ("sheets_kept_years", "sign_offs_kept_years", "recall_calls_kept_years")


def keeping(sheets: int = 0, sign_offs: int = 0, calls: int = 0) -> PracticeProfile:
    return PracticeProfile(**dict(zip(YEARS, (sheets, sign_offs, calls), strict=True)))


def traces() -> set[str]:
    """The tables in which any cell, whatever its type, holds a word by which the owner is known."""
    found = set()
    words = [word.encode() for word in WORDS]
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            for row in cursor.fetchall():
                cells = [cell if isinstance(cell, bytes) else str(cell).encode() for cell in row]
                text = b"\n".join(cells).lower()
                if any(word.lower() in text for word in words):
                    found.add(table)
    return found


@pytest.fixture
def owner(practitioner):
    return make_full_owner(practitioner)


def erased(owner, practice, practitioner, staff, reason=f"{NAME} asked by letter") -> ErasureRequest:
    asked = ask(owner=owner, reason=reason, by=staff, practice=practice)
    return confirm(request=asked, by=practitioner, practice=practice)


def test_before_it_the_words_stand_in_live_tables_and_histories(owner):
    assert {
        "patients_owner", "patients_historicalowner", "patients_historicalpatient", "patients_contact",
        "patients_historicalhomeweighin", "patients_sheet", "patients_photo", "patients_intakedraft",
        "patients_signoffletter", "patients_recall", "patients_recallcall", "patients_historicalsignoff",
    } <= traces()  # fmt: skip


def test_where_nothing_is_kept_no_table_holds_a_word(owner, practitioner, staff):
    done = erased(owner, keeping(), practitioner, staff)
    assert traces() == set()
    assert not Owner.objects.exists()
    assert not Patient.objects.exists()
    assert done.reason == "[taken out] asked by letter"


def test_what_is_kept_is_the_sheet_and_the_letter_alone(owner, practitioner, staff):
    erased(owner, keeping(sheets=5, sign_offs=5, calls=5), practitioner, staff)
    assert traces() == {"patients_sheet", "patients_signoffletter"}
    assert SignOff.objects.get().agreed == "[taken out] may have 20 g fat, told to Ms [taken out]"
    assert RecallCall.objects.get().note == "left word with [taken out]"
    dog = Patient.objects.get()
    assert (dog.name, dog.owner.name) == (f"Erased dog {dog.pk}", f"Erased owner {owner.pk}")
    assert (dog.microchip, dog.status, dog.born.month) == ("", "archived", 1)
    assert not Visit.objects.exists()


def test_a_kept_sheet_is_byte_for_byte_what_was_issued(owner, practitioner, staff):
    before = Sheet.objects.values_list("pk", "record", "pdf", "sha256", "plan").get()
    erased(owner, keeping(sheets=5), practitioner, staff)
    assert Sheet.objects.values_list("pk", "record", "pdf", "sha256", "plan").get() == before
    assert (Plan.objects.get().note, SignOff.objects.count(), RecallCall.objects.count()) == ("", 0, 0)
    assert traces() == {"patients_sheet"}


def test_an_erased_owner_is_not_asked_for_again(owner, practitioner, staff):
    practice = keeping(sheets=5)
    erased(owner, practice, practitioner, staff)
    with pytest.raises(ValidationError, match="erased already"):
        ask(owner=Owner.objects.get(), reason="letter", by=staff, practice=practice)


def test_only_sign_offs_are_kept(owner, practitioner, staff):
    erased(owner, keeping(sign_offs=5), practitioner, staff)
    assert traces() == {"patients_signoffletter"}
    assert not Sheet.objects.exists()
    assert not Plan.objects.exists()


def test_it_says_beforehand_what_goes_and_what_stays(owner, practitioner, staff):
    practice = keeping(sheets=5, calls=1)
    lines = {line.what: line for line in lines_of(Subject(owner, practice, TODAY))}
    assert (lines["dogs"].goes, lines["dogs"].stays) == (0, 1)
    assert (lines["take-home sheets"].goes, lines["take-home sheets"].stays) == (0, 1)
    assert (lines["plans"].stays, lines["sign-offs"].goes, lines["visits"].goes) == (1, 1, 1)
    assert lines["intakes begun and not finished"].goes == 1
    assert lines["past states of all of them"].goes > 10
    assert "for 5 years" in lines["take-home sheets"].why
    assert "for 1 year," in lines["recall calls"].why
    told = erased(owner, practice, practitioner, staff).told
    assert {line["what"]: line["goes"] for line in told} == {what: line.goes for what, line in lines.items()}


def test_what_is_over_its_time_is_taken_away_later(owner, practitioner, staff):
    practice = keeping(sheets=2, sign_offs=3)
    erased(owner, practice, practitioner, staff)
    assert over_their_time(practice, TODAY) == []
    later = TODAY + timedelta(days=2 * 366)
    assert erase_what_is_over(practice=practice, on=later) == 1
    assert traces() == {"patients_signoffletter"}
    assert not Plan.objects.exists()
    assert erase_what_is_over(practice=practice, on=TODAY + timedelta(days=3 * 366)) == 1
    assert traces() == set()
    assert not Owner.objects.exists()


def test_a_sheet_older_than_its_years_goes_at_once(owner, practitioner, staff):
    age_sheets(days=400)
    erased(owner, keeping(sheets=1), practitioner, staff)
    assert traces() == set()


def test_other_owners_keep_what_is_theirs(owner, practitioner, staff):
    other = cast.make_owner("Mabel Thorne")
    theirs = cast.make_patient(other, name="Nettle")
    cast.make_visit(theirs)
    dog = owner.patients.get()
    said = Contact.objects.create(owner=other, patient=dog, text="had him for a week", by=staff)
    erased(owner, keeping(), practitioner, staff)
    said.refresh_from_db()
    assert (said.owner, said.patient) == (other, None)
    assert (theirs.visits.count(), theirs.history.count()) == (1, 1)


@pytest.mark.parametrize(("years", "left"), [(0, set()), (5, {"patients_sheet"})])
def test_sheets_of_a_dog_that_went_to_somebody_else(owner, practitioner, staff, years, left):
    """The dog stays with its new owner; the sheet that names the old one goes, or stays for its time."""
    dog = owner.patients.get()
    Patient.objects.filter(pk=dog.pk).update(environment="")
    give_over(patient=dog, to=cast.make_owner("Mabel Thorne"), on=TODAY, reason="rehomed")
    practice = keeping(sheets=years)
    done = erased(owner, practice, practitioner, staff)
    assert Sheet.objects.count() == len(left)
    assert Patient.objects.get().owner.name == "Mabel Thorne"
    assert len(done.kept_sheets) == len(left)
    if left:
        erase_what_is_over(practice=practice, on=TODAY + timedelta(days=6 * 366))
    assert not Sheet.objects.exists()
    assert not Owner.objects.filter(pk=owner.pk).exists()
    assert Patient.objects.count() == 1


def test_merged_records_go_too(owner, practitioner, staff):
    double = cast.make_owner(NAME)
    cast.make_patient(double, name=DOG, merged_into=owner.patients.get())
    Owner.objects.filter(pk=double.pk).update(merged_into=owner)
    erased(owner, keeping(), practitioner, staff)
    assert traces() == set()
    assert not Patient.objects.exists()


def test_all_or_nothing(owner, monkeypatch):
    def fail(*_):
        raise RuntimeError("power cut")

    monkeypatch.setattr("patients.erasure._nameless_owner", fail)
    with pytest.raises(RuntimeError), transaction.atomic():
        erase(Subject(owner, keeping(), TODAY))
    assert Owner.objects.get().name == NAME
    assert (Sheet.objects.count(), Recall.objects.get().touched["plans"][0]["label"]) == (1, f"{DOG}: Turkey")


def test_the_person_who_asked_cannot_confirm(practitioner):
    asked = ask(owner=cast.make_owner(), reason="letter", by=practitioner, practice=keeping())
    with pytest.raises(ValidationError, match="somebody else"):
        confirm(request=asked, by=practitioner, practice=keeping())
    with pytest.raises(IntegrityError), transaction.atomic():
        ErasureRequest.objects.update(confirmed_by=practitioner, confirmed_at=timezone.now())
    assert Owner.objects.exists()


def test_a_withdrawn_or_old_request_is_not_confirmed_and_may_be_asked_again(practitioner, staff):
    owner, practice = cast.make_owner(), keeping()
    first = ask(owner=owner, reason="letter", by=staff, practice=practice)
    with pytest.raises(ValidationError, match="asked already"):
        ask(owner=owner, reason="again", by=staff, practice=practice)
    withdraw(request=first, by=staff)
    old = ask(owner=owner, reason="again", by=staff, practice=practice)
    ErasureRequest.objects.filter(pk=old.pk).update(asked_at=timezone.now() - timedelta(days=14, minutes=1))
    for request in (first, old):
        with pytest.raises(ValidationError, match="open no longer"):
            confirm(request=request, by=practitioner, practice=practice)
    assert open_request(owner) is None
    assert ask(owner=owner, reason="once more", by=staff, practice=practice).is_open


@pytest.mark.parametrize("missing", YEARS)
def test_nothing_is_asked_while_the_practice_has_not_said_what_it_keeps(staff, missing):
    practice = keeping(1, 1, 1)
    setattr(practice, missing, None)
    with pytest.raises(ValidationError, match="for how many years"):
        ask(owner=cast.make_owner(), reason="letter", by=staff, practice=practice)


@pytest.mark.parametrize(
    ("day", "years", "before"),
    [
        (date(2026, 11, 25), 5, date(2021, 11, 25)),
        (date(2028, 2, 29), 1, date(2027, 3, 1)),
        (date(2028, 2, 29), 4, date(2024, 2, 29)),
    ],
)
def test_years_before(day, years, before):
    assert years_before(day, years) == before


def test_the_letter_goes_with_its_sign_off(owner, practitioner, staff):
    erased(owner, keeping(sheets=5), practitioner, staff)
    assert not SignOffLetter.objects.exists()
