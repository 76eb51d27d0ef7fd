"""An owner's folder: opened as its reader opens it."""

import csv
import io
import json
import zipfile
from hashlib import sha256

import pytest
from django.core.files.base import ContentFile

from patients.leaving import give_over
from patients.models import Contact, OwnerExport, Sheet
from patients.owner_export import export_owner
from practice.models import PracticeProfile
from tests import cast
from tests.patients.owners_data import BEFORE, DOG, NAME, TODAY, make_full_owner

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(practitioner):
    practitioner.first_name, practitioner.last_name = "Robin", "Ashdown"
    practitioner.save()
    return make_full_owner(practitioner)


@pytest.fixture
def practice(owner):

    return PracticeProfile.objects.get()


def opened(owner, by, practice) -> dict[str, bytes]:
    """File -> content, without the folder's own name."""
    with zipfile.ZipFile(export_owner(owner=owner, by=by, practice=practice)) as folder:
        assert folder.testzip() is None
        names = folder.namelist()
        assert {name.split("/")[0] for name in names} == {f"ottoline-quist-{TODAY.isoformat()}"}
        return {name.partition("/")[2]: folder.read(name) for name in names}


def table(content: bytes) -> list[dict]:
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))


def test_it_holds_each_kind_and_the_files(owner, practitioner, practice):
    files = opened(owner, practitioner, practice)
    dog, sheet = owner.patients.get(), Sheet.objects.get()
    assert {
        "README.txt", "record.json", "owner.csv", "dogs.csv", "visits.csv", "weigh-ins-at-home.csv",
        "diet-history-items.csv", "plans.csv", "contacts.csv", "tasks.csv", "conditions.csv",
        "foods-to-avoid.csv",
        "medicines.csv",
        "supplements-given.csv", "laboratory-results.csv", "counts-of-tablets.csv", "sign-offs.csv",
        "numbers-agreed-in-sign-offs.csv", "recall-calls.csv", f"photos/pumpernickel-{dog.pk}.jpg",
    } <= set(files)  # fmt: skip
    assert files[f"sheets/pumpernickel-{dog.pk}-sheet-{sheet.number}.pdf"] == sheet.pdf
    assert [content for name, content in files.items() if name.startswith("sign-off-letters/")] == [
        b"%PDF- Quist"
    ]
    assert files[f"letters/pumpernickel-{dog.pk}-letter-{TODAY}.pdf"].startswith(b"%PDF-")


def test_unknown_is_empty_and_null_and_said(owner, practitioner, practice):
    files = opened(owner, practitioner, practice)
    record = json.loads(files["record.json"])
    assert record["diet history items"][0]["kcal per day"] is None
    assert record["dogs"][0]["oven"] is None
    assert table(files["diet-history-items.csv"])[0]["kcal per day"] == ""
    assert "does\n  not mean zero" in files["README.txt"].decode()


def test_no_cell_is_a_formula(owner, practitioner, practice):
    files = opened(owner, practitioner, practice)
    assert table(files["diet-history-items.csv"])[0]["what"] == "'-cheese"
    assert table(files["tasks.csv"])[0]["what is to be done"] == "'=HYPERLINK(1)"
    assert json.loads(files["record.json"])["tasks"][0]["what is to be done"] == "=HYPERLINK(1)"


def test_nobody_of_the_practice_is_named_and_no_former_name(owner, practitioner, practice):
    files = opened(owner, practitioner, practice)
    texts = {
        name: content.decode() for name, content in files.items() if name.endswith((".csv", ".txt", "json"))
    }
    for name, text in texts.items():
        assert "Ashdown" not in text, name
        assert BEFORE not in text, name
    assert NAME in texts["owner.csv"]


def test_no_other_person_is_in_it(owner, practitioner, practice):
    """A dog that came from somebody else, and what that person said of it; and another owner's dog."""
    other = cast.make_owner("Mabel Thorne")
    dog = cast.make_patient(other, name="Nettle")
    cast.make_visit(dog, notes="Mabel is worried", weight_kg=12.5)
    Contact.objects.create(owner=other, patient=dog, text="Mabel rang")
    given = give_over(patient=dog, to=owner, on=TODAY, reason="rehomed")
    sheet = Sheet.objects.get()
    Sheet.objects.bulk_create(
        [
            Sheet(
                plan=sheet.plan,
                patient=given,
                number=1,
                issued_by=practitioner,
                expires_on=TODAY,
                record={"dog": {"owner": "Mabel Thorne"}},
                pdf=b"Mabel",
                sha256="",
            )  # fmt: skip
        ]
    )
    cast.make_patient(cast.make_owner("Wren Hale"), name="Sedge")
    files = opened(owner, practitioner, practice)
    for name, content in files.items():
        assert not any(word in content for word in (b"Mabel", b"Wren", b"Sedge")), name
    readme = files["README.txt"].decode()
    assert "issued to somebody else who had a dog before you" in readme
    assert "before a dog was yours" in readme
    weights = {row["weight kg"] for row in table(files["visits.csv"]) if row["patient"] == "Nettle"}
    assert weights == {"12.5"}


def test_that_it_was_made_is_recorded(owner, practitioner, practice):
    content = export_owner(owner=owner, by=practitioner, practice=practice).read()
    made = OwnerExport.objects.get()
    assert (made.owner_number, made.made_by, made.sha256) == (
        owner.pk,
        practitioner,
        sha256(content).hexdigest(),
    )
    assert zipfile.is_zipfile(ContentFile(content))


def test_two_dogs_of_one_name_are_kept_apart(owner, practitioner, practice):
    cast.make_patient(owner, name=DOG)
    files = opened(owner, practitioner, practice)
    assert len([name for name in files if name.startswith("letters/")]) == 2


def test_an_owner_without_a_dog_gets_a_folder_too(practitioner, practice):
    bare = cast.make_owner("Ottoline Quist")
    files = opened(bare, practitioner, practice)
    assert "nothing on record" in files["README.txt"].decode()
    assert files["visits.csv"].decode().count("\r\n") == 1
