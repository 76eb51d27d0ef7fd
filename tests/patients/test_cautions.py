"""Which cautions apply to a dog and its bowl."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from nutrients.models import Caution
from patients import plan_queries
from patients.cautions import FOR_THE_OWNER, RULES, Feeding, applying
from patients.dog import Dog
from patients.life_stage import ADULT, SENIOR, LifeStage
from recipes.analysis import Portion
from recipes.uncooked import ONLY_OF_RAW
from tests import cast

KIDNEY = "chronic kidney disease"
RAW_MEAT = "raw or undercooked meat, poultry, offal, eggs"
RAW_SALMON = "raw salmon, trout and other anadromous fish"
PUPPIES = "puppies (especially large and giant breeds)"
ACTIONS = {RAW_SALMON: "block", "senior dog": "warn", "weight loss programme": "warn"}

KNOWN = {"source": "test", "certainty": "memory"}

BEEF = Portion("Beef, raw", 100, "in_the_pot", "muscle meat", "beef", "raw")
RICE = Portion("Rice, dry", 100, "in_the_pot", "grain & starch", "rice", "dried")


def caution(subject: str) -> SimpleNamespace:
    return SimpleNamespace(
        subject=subject, action=ACTIONS.get(subject, "sign-off"), text="why", detail="", **KNOWN
    )


TABLE = [caution(subject) for subject in RULES]


def found(
    *portions, goal="hold", method="simmered_liquid_kept", by_food=None, **particulars
) -> dict[str, str]:
    dog = Dog(**({"name": "Juniper", "breed": "hound cross", "stage": ADULT} | particulars))
    feeding = Feeding(dog, goal, portions or (BEEF, RICE), method)
    return {c.subject: c.because for c in applying(TABLE, by_food or {}, feeding)}


def test_a_healthy_adult_with_a_cooked_recipe_has_none():
    assert found() == {}


@pytest.mark.parametrize(
    ("condition", "subject"),
    [
        ("Chronic renal failure", KIDNEY),
        ("kidney disease, stage 2", KIDNEY),
        ("Diabetes mellitus", "diabetes mellitus"),
        ("pancreatitis last year", "pancreatitis, hyperlipidaemia"),
        ("hypothyroidism", "hypothyroid, thyroid cancer or therapy"),
        ("DCM", "heart disease (MMVD, DCM, CHF)"),
        ("lactating", "pregnancy and lactation"),
    ],
)
def test_a_condition_is_found_by_its_words(condition, subject):
    assert found(conditions=(condition,)) == {subject: condition}


def test_what_the_owner_gives_is_told_beside_a_recipe_alone():
    given = {"given_supplements": ("vitamin D drops", "seaweed meal")}
    assert found(**given) == {"supplements that the owner gives": "vitamin D drops, seaweed meal"}
    bare = Feeding(Dog("Juniper", "hound cross", ADULT, **given), "hold", (), "")
    assert applying(TABLE, {}, bare) == ()


def test_a_word_inside_another_is_no_condition():
    assert found(conditions=("adrenal gland normal",)) == {}


def test_raw_meat_counts_only_when_it_never_meets_the_heat():
    bowl = replace(BEEF, when="in_the_bowl")
    assert found(bowl, RICE) == {RAW_MEAT: "Beef, raw"}
    assert found(BEEF, RICE, method="not_heated") == {RAW_MEAT: "Beef, raw"}


def test_raw_salmon_is_blocked_and_comes_first():
    salmon = Portion("Salmon, coho, raw", 100, "in_the_bowl", "fish & shellfish", "fish", "raw")
    assert list(found(salmon, RICE)) == [RAW_SALMON, RAW_MEAT]
    assert found(replace(salmon, when="in_the_pot"), RICE) == {}


def test_age_goal_and_diet_are_rules():
    puppy = LifeStage("growing", True, "aafco-growth", "puppy")
    assert list(found(stage=puppy)) == [PUPPIES]
    assert list(found(stage=SENIOR)) == ["senior dog"]
    assert list(found(goal="lose")) == ["weight loss programme"]
    assert list(found(RICE)) == ["vegetarian or vegan home diet"]


def test_a_caution_that_holds_for_raw_food_spares_cooked_food():
    subject = next(iter(sorted(ONLY_OF_RAW)))
    by_food = {"Beef, raw": [caution(subject)]}
    assert found(by_food=by_food) == {}
    assert found(replace(BEEF, when="in_the_bowl"), by_food=by_food)[subject] == "Beef, raw"


def test_each_caution_is_told_once():
    forbidden = caution("onion")
    by_food = {"Beef, raw": [forbidden], "Rice, dry": [forbidden]}
    assert found(by_food=by_food) == {"onion": "Beef, raw"}


@pytest.mark.django_db
def test_every_subject_named_here_stands_in_the_caution_table():
    subjects = set(Caution.objects.values_list("subject", flat=True))
    assert set(RULES) <= subjects
    assert set(FOR_THE_OWNER) <= subjects


@pytest.mark.django_db
def test_every_condition_of_the_table_has_a_rule():
    assert set(Caution.objects.filter(kind="condition").values_list("subject", flat=True)) <= set(RULES)


@pytest.mark.django_db
def test_a_forbidden_food_in_a_recipe_is_found():
    cast.make_patient()
    from nutrients.models import Food

    Food.objects.create(name="Onion powder", group="vegetable", state="dried", source="test")
    version = cast.make_recipe(amounts={"Ground turkey, 93% lean, raw": 500, "Onion powder": 5})
    grounds = plan_queries.grounds_of(version, version.recipe.profile)
    dog = Dog("Juniper", "hound cross", ADULT)
    blocks = [c for c in plan_queries.cautions_for(dog, "hold", grounds) if c.action == "block"]
    assert [c.because for c in blocks] == ["Onion powder"]
