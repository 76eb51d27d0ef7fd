"""The invented people, dogs and recipes that tests share: each builder saves and returns one thing."""

from datetime import date, timedelta

from django.contrib.auth.models import User
from django.utils import timezone

from nutrients.models import Food, Profile
from patients.models import Owner, Patient, Plan, Visit
from practice.roles import make_roles
from recipes.models import Ingredient, Recipe, RecipeVersion, When

PASSWORD = "barley-and-thyme-22"


def make_user(role: str = "practitioner", username: str = "") -> User:
    user = User.objects.create_user(username or role, password=PASSWORD)
    user.groups.add(make_roles()[role])
    return user


def make_owner(name: str = "Tilda Marrow") -> Owner:
    return Owner.objects.create(name=name, phone="01 555 0100")


def make_patient(owner: Owner | None = None, **particulars) -> Patient:
    defaults = {
        "name": "Juniper",
        "breed": "hound cross",
        "sex": "female",
        "neutered": True,
        "born": date(timezone.localdate().year - 7, 3, 1),
    }
    return Patient.objects.create(owner=owner or make_owner(), **(defaults | particulars))


def make_visit(patient: Patient, **findings) -> Visit:
    defaults = {
        "date": timezone.localdate() - timedelta(days=1),
        "weight_kg": 18.4,
        "bcs": 5,
        "kind": "intake",
    }
    return Visit.objects.create(patient=patient, **(defaults | findings))


def make_recipe(
    title: str = "Turkey and rice",
    amounts: dict[str, float] | None = None,
    approved_by: User | None = None,
    profile_key: str = "aafco-adult",
    **version,
) -> RecipeVersion:
    """A recipe with one version. `amounts`: food name -> grams, all in the pot unless a supplement."""
    recipe = Recipe.objects.create(
        title=title,
        profile=Profile.objects.get(key=profile_key),
        state=Recipe.State.APPROVED if approved_by else Recipe.State.DRAFT,
    )
    made = RecipeVersion.objects.create(
        recipe=recipe,
        approved_by=approved_by,
        approved_at=timezone.now() if approved_by else None,
        **version,
    )
    for position, (name, grams) in enumerate((amounts or {"Ground turkey, 93% lean, raw": 500}).items()):
        food = Food.objects.get(name=name)
        when = When.COOLED_BATCH if hasattr(food, "supplement") else When.IN_THE_POT
        slip_in(Ingredient, version=made, food=food, grams=grams, when=when, position=position)
    return made


def slip_in(model, **fields):
    """A record written past the rule that an approved version never changes."""
    return model.objects.bulk_create([model(**fields)])[0]


def make_plan(patient: Patient, version: RecipeVersion, **choices) -> Plan:
    defaults = {
        "target_kg": 18.4,
        "method": "neutered adult, 1.6 x RER",
        "factor": 1.6,
        "kcal_per_day": 990,
        "profile": version.recipe.profile,
    }
    return Plan.objects.create(patient=patient, recipe_version=version, **(defaults | choices))
