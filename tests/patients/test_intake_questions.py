"""What is asked and worked out while a dog is taken on: a first weight, a puppy's, an age."""

from datetime import timedelta

import pytest
from django.utils import timezone

from patients.life_stage import age_in_words
from patients.models import Patient, Visit
from tests.patients.typed import typed_intake

NEW = "/patients/new/"
KEY = "0b7c9b1e-52f5-4d5c-8a49-0d5a6f1f9a12"
TODAY = timezone.localdate()


def test_a_first_weight_in_the_wrong_unit_is_asked_about(signed_in):
    """26.5 lb = 12.02 kg."""
    typed = typed_intake(draft=KEY, breed="Beagle", **{"visit-weight_kg": "26.5"})
    page = signed_in.post(NEW, typed).content.decode()
    assert "usual for this breed (beagle): were these pounds?" in page
    assert 'value="26.5"' in page
    assert "Keep it on record, and leave it out" not in page
    assert not Patient.objects.exists()
    answer = page.split('name="visit-weight_answer" value="other-unit')[1].split('"')[0]
    signed_in.post(NEW, typed | {"visit-weight_answer": f"other-unit{answer}"})
    assert Visit.objects.get().weight_kg == pytest.approx(26.5 * 0.45359237)


def test_a_puppy_typed_in_pounds_is_not_only_told_to_be_too_heavy(signed_in):
    """12 weeks old, 16 lb = 7.3 kg, and 15 kg are expected of it grown."""
    born = (TODAY - timedelta(weeks=12)).isoformat()
    typed = typed_intake(
        draft=KEY, born=born, neutered="", expected_adult_kg="15", **{"visit-weight_kg": "16"}
    )
    page = signed_in.post(NEW, typed).content.decode()
    assert "more than the 15.0 kg expected of it grown" in page
    assert "It was 16 lb: 7.26 kg." in page
    value = page.split('name="visit-weight_answer" value="other-unit')[1].split('"')[0]
    assert signed_in.post(NEW, typed | {"visit-weight_answer": f"other-unit{value}"}).status_code == 302
    assert Visit.objects.get().weight_kg == pytest.approx(16 * 0.45359237)


@pytest.mark.parametrize(
    ("number", "unit", "age"),
    [("7", "years", "about 7 years"), ("1.5", "years", "about 18 months"), ("5", "months", "about 5 months"),
     ("9", "weeks", "about 9 weeks")],
)  # fmt: skip
def test_an_age_makes_a_birth_date_that_is_an_estimate(signed_in, number, unit, age):
    typed = typed_intake(draft=KEY, born="", about_age=number, about_age_unit=unit, neutered="")
    assert signed_in.post(NEW, typed | {"visit-weight_kg": "5"}).status_code == 302
    dog = Patient.objects.get()
    assert dog.born_is_estimate
    assert age_in_words(dog.born, TODAY, dog.born_is_estimate) == age
    page = signed_in.get(f"/patients/{dog.pk}/edit/").content.decode()
    assert f'value="{dog.born}"' in page
    assert "about_age" not in page
