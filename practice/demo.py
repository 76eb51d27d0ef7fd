"""The invented practice that a first start shows: its people, recipes, dogs and visits.

The tables are in `fixtures/demo`; dates are counted back from today, so that the demo never grows old.
"""

import csv
from datetime import date, timedelta
from pathlib import Path

from django.conf import settings
from django.contrib.auth.models import User
from django.db import transaction

from nutrients.models import Food, Profile
from patients.models import (
    Avoid,
    Condition,
    DietItem,
    GivenSupplement,
    HomeWeighIn,
    LabResult,
    Medicine,
    Owner,
    Patient,
    Visit,
)
from practice.demo_people import DEMO_PASSWORD, DEMO_USERS
from practice.models import PracticeProfile
from practice.roles import make_roles
from recipes import services, substitution_services
from recipes.models import Ingredient, KitchenStep, Recipe, RecipeVersion, Substitution

DEMO_FOLDER = settings.BASE_DIR / "fixtures" / "demo"


def rows(table: str, folder: Path = DEMO_FOLDER) -> list[dict[str, str]]:
    with (folder / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@transaction.atomic
def load_demo(*, today: date) -> dict[str, int]:
    """Make the demo practice in an empty database; returns how many of each were made."""
    people = _make_people()
    PracticeProfile.objects.create(
        name="Quillmarsh Canine Nutrition",
        address="The Drying Loft, 7 Ropewalk\nQuillmarsh",
        phone="01 555 0100",
        email="kitchen@example.org",
    )
    recipes = [_make_recipe(row, people["robin"]) for row in rows("recipes")]
    for row in rows("substitutions"):
        _make_substitution(row, people["sam"], people["robin"])
    owners = {row["name"]: Owner.objects.create(**row, consented_on=today) for row in rows("owners")}
    patients = {row["name"]: _make_patient(row, owners, today) for row in rows("patients")}
    visits = {}
    for row in rows("visits"):
        visits[row["patient"], row["days_ago"]] = _make_visit(row, patients, today)
    for row in rows("home_weigh_ins"):
        HomeWeighIn.objects.create(
            patient=patients[row["patient"]],
            date=today - timedelta(days=int(row["days_ago"])),
            weight_kg=float(row["weight_kg"]),
            note=row["note"],
            left_out=row["left_out"] == "yes",
        )
    for row in rows("diet_items"):
        DietItem.objects.create(
            visit=visits[row["patient"], row["days_ago"]],
            what=row["what"],
            kcal_per_day=_number(row["kcal_per_day"]),
            kind=row["kind"],
            complete=row["complete"],
            worked=row["worked"],
            **{name: _number(row[name]) for name in ("amount", "times_a_day", "label_kcal")},
            measure=row["measure"],
            label_per=row["label_per"],
        )
    for row in rows("conditions"):
        Condition.objects.create(patient=patients[row["patient"]], name=row["name"])
    _make_clinical(patients, today)
    return {"people": len(people), "recipes": len(recipes), "dogs": len(patients), "visits": len(visits)}


def _make_clinical(patients: dict[str, Patient], today: date) -> None:
    for row in rows("avoids"):
        _make(Avoid, row, patients)
    for row in rows("medicines"):
        started = today - timedelta(days=int(row.pop("started_days_ago")))
        _make(Medicine, row | {"started_on": started}, patients)
    for row in rows("given_supplements"):
        _make(GivenSupplement, row, patients)
    for row in rows("lab_results"):
        _make(LabResult, row | {"date": today - timedelta(days=int(row.pop("days_ago")))}, patients)


def _make(model, row: dict, patients: dict[str, Patient]) -> None:
    entry = model(**row | {"patient": patients[row["patient"]]})
    entry.full_clean()
    entry.save()


def _yes_or_no(text: str) -> bool | None:
    return {"yes": True, "no": False}.get(text)


def _number(text: str) -> float | None:
    return float(text) if text else None


def _make_people() -> dict[str, User]:
    groups = make_roles()
    people = {}
    for username, first, last, role in DEMO_USERS:
        people[username] = User.objects.create_user(
            username, password=DEMO_PASSWORD, first_name=first, last_name=last
        )
        people[username].groups.add(groups[role])
    return people


def _make_patient(row: dict[str, str], owners: dict[str, Owner], today: date) -> Patient:
    return Patient.objects.create(
        owner=owners[row["owner"]],
        name=row["name"],
        breed=row["breed"],
        sex=row["sex"],
        neutered=row["neutered"] == "yes",
        born=today - timedelta(days=int(row["born_days_ago"])),
        born_is_estimate=row["born_is_estimate"] == "yes",
        expected_adult_kg=_number(row["expected_adult_kg"]),
        veterinarian=row["veterinarian"],
        clinic=row["clinic"],
        diet_history=row["diet_history"],
        medical_notes=row["medical_notes"],
        next_recheck=today + timedelta(days=int(row["recheck_in_days"])),
        **{name: row[name] for name in ("microchip", "environment", "owner_goals", "freezer", "likes_food")},
        cooker_litres=_number(row["cooker_litres"]),
        **{name: _yes_or_no(row[name]) for name in ("has_oven", "has_pan", "weighs_in_grams")},
    )


def _make_visit(row: dict[str, str], patients: dict[str, Patient], today: date) -> Visit:
    visit = Visit(
        patient=patients[row["patient"]],
        date=today - timedelta(days=int(row["days_ago"])),
        kind=row["kind"],
        weight_kg=float(row["weight_kg"]),
        bcs=int(row["bcs"]),
        mcs=row["mcs"],
        activity=row["activity"],
        activity_minutes=_number(row["activity_minutes"]),
        activity_kind=row["activity_kind"],
        appetite=row["appetite"],
        faecal_score=int(row["faecal_score"]),
        notes=row["notes"],
    )
    visit.full_clean()
    visit.save()
    return visit


def _make_recipe(row: dict[str, str], author: User) -> RecipeVersion:
    """A recipe on its way through the library: written, reviewed and approved as anybody's is."""
    recipe = Recipe(
        title=row["title"],
        purpose=row["purpose"],
        tags=row["tags"],
        profile=Profile.objects.get(key=row["profile"]),
    )
    version = services.save_version(
        recipe=recipe,
        particulars={
            "note": "First version",
            "method": row["method"],
            "added_water_g": float(row["added_water_g"] or 0),
            "cooked_weight_g": _number(row["cooked_weight_g"]),
        },
        ingredients=[_ingredient(line) for line in rows("ingredients") if line["recipe"] == recipe.title],
        kitchen_steps=[_step(step) for step in rows("kitchen_steps") if step["recipe"] == recipe.title],
        author=author,
    )
    if row["state"] in (Recipe.State.IN_REVIEW, Recipe.State.APPROVED):
        services.send_to_review(recipe=recipe, by=author)
    if row["state"] == Recipe.State.APPROVED:
        services.approve_version(version=version, by=author, seen=services.fingerprint(version))
    return version


def _ingredient(line: dict[str, str]) -> Ingredient:
    return Ingredient(
        food=Food.objects.get(name=line["food"]),
        grams=float(line["grams"]),
        when=line["when"],
        step_g=float(line["step_g"] or 5),
        note=line["note"],
    )


def _make_substitution(row: dict[str, str], author: User, approver: User) -> None:
    foods = {column: Food.objects.get(name=row[column]) for column in ("replaces", "food")}
    kept = substitution_services.save_substitution(
        substitution=Substitution(
            version=Recipe.objects.get(title=row["recipe"]).latest(),
            grams=float(row["grams"]),
            when=row["when"],
            note=row["note"],
            **foods,
        ),
        amounts={Food.objects.get(name=row["other_food"]): float(row["other_grams"])}
        if row["other_food"]
        else {},
        by=author,
    )
    if row["approved"] == "yes":
        seen = substitution_services.fingerprint(kept)
        substitution_services.approve_substitution(substitution=kept, by=approver, seen=seen)


def _step(step: dict[str, str]) -> KitchenStep:
    return KitchenStep(
        text=step["text"],
        minutes=_number(step["minutes"]),
        temperature_c=_number(step["temperature_c"]),
    )
