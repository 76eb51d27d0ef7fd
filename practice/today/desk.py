"""What waits at the desk: plans, sheets, products, life stages, and the library."""

from datetime import date

from django.urls import reverse
from django.utils.formats import date_format

from patients.models import Patient, Plan
from patients.newer_versions import outdated, plans_behind
from patients.recall_queries import unseen_corrections
from patients.watch import NewStage
from patients.watch_queries import (
    expired_sheets,
    new_stages,
    plans_with_discontinued,
    plans_without_sheet,
)
from practice.today.waiting import Group, Waiting, each, group, of_dog
from recipes.models import Recipe
from recipes.outdated import Outdated


def life_stages(on: date, whole: str) -> Group:
    def rows(shown: list[tuple[int, NewStage]]) -> list[Waiting]:
        dogs = Patient.objects.select_related("owner").in_bulk([dog for dog, _ in shown])
        return [row(dogs[dog], stage) for dog, stage in shown]

    def row(patient: Patient, stage: NewStage) -> Waiting:
        url = f"{patient.get_absolute_url()}#plan"
        return of_dog(patient, stage.words(on), "Look at its plan", url, "patients.view_patient")

    return group("stages", "Into a new life stage", new_stages(on), rows, whole)


def without_sheet(whole: str) -> Group:
    def row(plan: Plan) -> Waiting:
        why = f"{plan.recipe_version.recipe.title}, in draft since {date_format(plan.created_at, 'j M Y')}"
        return of_dog(plan.patient, why, "Finish the plan", plan.get_absolute_url(), "patients.change_plan")

    return group("drafts", "Plans without a sheet", plans_without_sheet(), each(row), whole)


def sheets_expired(on: date, whole: str) -> Group:
    def row(plan: Plan) -> Waiting:
        ended = plan.withdrawn_on or plan.expired_on
        how = "was withdrawn" if plan.withdrawn_on else "expired"
        why = f"{plan.recipe_version.recipe.title}: the sheet {how} on {date_format(ended, 'j M Y')}"
        return of_dog(plan.patient, why, "Issue a new sheet", plan.get_absolute_url(), "patients.issue_sheet")

    return group("expired", "Sheets that expired or were withdrawn", expired_sheets(on), each(row), whole)


def discontinued_products(whole: str) -> Group:
    def row(plan: Plan) -> Waiting:
        version = plan.recipe_version
        foods = list(dict.fromkeys(line.food for line in version.gone))
        url = reverse("recipes:ingredient-substitutes", args=[version.pk, foods[0].pk])
        names = ", ".join(food.name for food in foods)
        why = f"{names}: no longer bought, in {version.recipe.title}"
        return of_dog(plan.patient, why, "Find a stand-in", url, "recipes.view_recipe")

    return group("discontinued", "Discontinued, but fed", plans_with_discontinued(), each(row), whole)


def older_versions(whole: str) -> Group:
    def row(found: Outdated) -> Waiting:
        return Waiting(
            found.label, found.url, found.where, found.next_label, found.next_url, "patients.change_plan"
        )

    rows = each(row)
    return group("behind", "Newer version exists", plans_behind(), lambda shown: rows(outdated(shown)), whole)


def recipes_in_review(whole: str) -> Group:
    def row(recipe: Recipe) -> Waiting:
        url = reverse("recipes:recipe-detail", args=[recipe.pk])
        return Waiting(
            recipe.title, url, "waits for approval", "Review it", url, "recipes.approve_recipeversion"
        )

    waiting = Recipe.objects.filter(state=Recipe.State.IN_REVIEW)
    return group("review", "Recipes waiting for approval", waiting, each(row), whole)


def corrections_unseen(whole: str) -> Group:
    url = reverse("patients:recall-list")

    def row(correction) -> Waiting:
        return Waiting(
            correction.what, url, "not looked into: whom does it touch?", "Look into it", url,
            "patients.add_recall",
        )  # fmt: skip

    return group("corrections", "Corrections of nutrient data", unseen_corrections(), each(row), whole)
