"""Cautions between a dog's medicines, its laboratory results and what its food holds."""

from dataclasses import replace
from datetime import date

import pytest

from patients import plan_queries
from patients.cautions import Feeding
from patients.dog import Dog
from patients.life_stage import ADULT
from patients.medicines import MedicineRule, given, of_medicines
from patients.models import MedicineCaution
from patients.plan_queries import cautions_of
from patients.rechecks import INSULINS
from recipes.analysis import Portion
from tests import cast

DOG = Dog("Juniper", "hound cross", ADULT)
BEEF = Portion("Beef, raw", 100, "in_the_pot", "muscle meat", "beef", "raw")
SALT = Portion("Potassium chloride powder", 2, "cooled_batch", "mineral supplement", "", "as sold")
RULE = MedicineRule("b", ("bromide",), (), ("chloride",), "sign-off", "why", "", "", "test", "memory")


def because(rule=RULE, portions=(BEEF,), **particulars) -> list[str]:
    feeding = Feeding(replace(DOG, **particulars), "hold", portions, "simmered_liquid_kept")
    return [caution.because for caution in of_medicines([rule], feeding)]


def test_a_medicine_is_found_by_the_start_of_a_word():
    assert because(medicines=("Bromide, potassium",)) == ["Bromide, potassium"]
    assert because(medicines=("dibromide of something",)) == []
    assert because() == []


def test_one_in_the_notes_is_said_to_be_there_and_the_notes_are_not_told():
    assert because(notes="Owner is worried. Had bromide in spring.") == ["bromide, in the medical notes"]


def test_a_rule_for_a_food_holds_only_with_it():
    rule = replace(RULE, words=("enalapril",), food_words=("potassium chloride",))
    assert because(rule, medicines=("enalapril",)) == []
    assert because(rule, (BEEF, SALT), medicines=("enalapril",)) == [
        "enalapril; Potassium chloride powder in the recipe"
    ]
    assert because(rule, (BEEF, SALT)) == []


def test_words_of_another_medicine_bring_nothing():
    assert given(("bromide",), replace(DOG, medicines=("insulin",))) == ""


# The table. The pairs are those that the practice asked for; each row names its source.
PAIRS = [
    ("potassium bromide", "bromide and chloride", "sign-off", "chloride"),
    ("levothyroxine", "levothyroxine and calcium", "warn", "calcium"),
    ("doxycycline", "tetracyclines and minerals", "warn", "calcium"),
    ("enrofloxacin", "quinolones and minerals", "warn", "iron"),
    ("benazepril", "ACE inhibitors or spironolactone and potassium", "warn", "potassium"),
    ("spironolactone", "ACE inhibitors or spironolactone and potassium", "warn", "potassium"),
    ("insulin, twice a day", "insulin and consistency", "sign-off", "fiber"),
]


def applied(**particulars) -> dict:
    found = cautions_of(Feeding(replace(DOG, **particulars), "hold", (BEEF,), "simmered_liquid_kept"))
    return {caution.subject: caution for caution in found}


@pytest.mark.django_db
@pytest.mark.parametrize(("medicine", "subject", "action", "nutrient"), PAIRS)
def test_each_pair_of_medicine_and_nutrient_is_brought_up(medicine, subject, action, nutrient):
    [caution] = applied(medicines=(medicine,)).values()
    assert (caution.subject, caution.action, caution.because) == (subject, action, medicine)
    assert nutrient in caution.nutrients
    assert caution.source


@pytest.mark.django_db
def test_a_potassium_salt_with_an_ace_inhibitor_needs_the_veterinarian():
    dog = replace(DOG, medicines=("ACE inhibitor",))
    found = cautions_of(Feeding(dog, "hold", (BEEF, SALT), "simmered_liquid_kept"))
    assert [caution.action for caution in found] == ["sign-off", "warn"]


@pytest.mark.django_db
def test_no_row_names_a_dose():
    text = " ".join(
        " ".join(row) for row in MedicineCaution.objects.values_list("text", "detail", "for_owner")
    )
    assert text
    assert "mg" not in text.split()
    assert not any(sign.isdigit() for sign in text)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("result", "subject"),
    [
        ("Creatinine, 3 March 2026", "kidney values on file"),
        ("ALT, 3 March 2026", "liver values on file"),
        ("Alkaline phosphatase, 3 March 2026", "liver values on file"),
        ("Triglycerides, 3 March 2026", "blood fats and pancreas values on file"),
        ("Total T4, 3 March 2026", "thyroid values on file"),
        ("Urine specific gravity, 3 March 2026", "urine findings on file"),
        ("Something new, 3 March 2026", "other laboratory results on file"),
    ],
)
def test_a_laboratory_result_only_asks_for_the_veterinarian(result, subject):
    [caution] = applied(results=(result,)).values()
    assert (caution.subject, caution.action, caution.because) == (subject, "warn", result)
    assert "ask the veterinarian" in caution.detail


@pytest.mark.django_db
def test_a_result_that_the_laboratory_found_within_its_range_asks_nothing():
    result = "creatinine 90 µmol/L, within its range, 3 March 2026"
    assert applied(results=(result,), within_range=(result,)) == {}
    other = "urea 30 mmol/L, above its range, 3 March 2026"
    [caution] = applied(results=(result, other), within_range=(result,)).values()
    assert caution.because == other


@pytest.mark.django_db
def test_the_laboratorys_mark_is_read_from_the_record():
    dog = cast.make_patient()
    cast.make_visit(dog)
    dog.lab_results.create(date=date(2026, 3, 3), what="creatinine", value="90", mark="within")
    read = plan_queries.dog_of(dog, date(2026, 3, 4))
    assert len(read.results) == 1
    assert read.open_results == ()


def test_insulin_is_known_by_the_same_words_at_a_re_check(db):
    row = MedicineCaution.objects.get(subject="insulin and consistency")
    assert tuple(row.words.split("\n")) == INSULINS
