"""What waits at the desk: plans, sheets, products, life stages, and the library."""

from datetime import date

from django.urls import reverse
from django.utils.formats import date_format

from patients.models import Patient, Plan
from patients.newer_versions import outdated, plans_behind
from patients.recall_queries import unseen_corrections
from patients.watch import NewStage
from patients.watch_queries import (
    WithoutProduct,
    expired_sheets,
    new_stages,
    plans_with_discontinued,
    plans_without_sheet,
)
from practice.today.waiting import Group, Waiting, group, of_dog
from recipes.models import Recipe
from recipes.outdated import Outdated


def life_stages(on: date, whole: str) -> Group:
    def row(found: tuple[Patient, NewStage]) -> Waiting:
        patient, stage = found
        url = f"{patient.get_absolute_url()}#plan"
        return of_dog(patient, stage.words(on), "Look at its plan", url, "patients.view_patient")

    return group("stages", "Into a new life stage", new_stages(on), row, whole)


def without_sheet(whole: str) -> Group:
    def row(plan: Plan) -> Waiting:
        why = f"{plan.recipe_version.recipe.title}, in draft since {date_format(plan.created_at, 'j M Y')}"
        return of_dog(plan.patient, why, "Finish the plan", plan.get_absolute_url(), "patients.change_plan")

    return group("drafts", "Plans without a sheet", list(plans_without_sheet()), row, whole)


def sheets_expired(on: date, whole: str) -> Group:
    def row(plan: Plan) -> Waiting:
        day = date_format(plan.expired_on, "j M Y")
        why = f"{plan.recipe_version.recipe.title}: the sheet expired on {day}"
        return of_dog(plan.patient, why, "Issue a new sheet", plan.get_absolute_url(), "patients.issue_sheet")

    return group("expired", "Sheets that expired", list(expired_sheets(on)), row, whole)


def discontinued_products(whole: str) -> Group:
    def row(found: WithoutProduct) -> Waiting:
        version, first = found.plan.recipe_version, found.products[0]
        url = reverse("recipes:ingredient-substitutes", args=[version.pk, first.pk])
        names = ", ".join(product.name for product in found.products)
        why = f"{names}: no longer bought, in {version.recipe.title}"
        return of_dog(found.plan.patient, why, "Find a stand-in", url, "recipes.view_recipe")

    return group("discontinued", "Discontinued, but fed", plans_with_discontinued(), row, whole)


def older_versions(whole: str) -> Group:
    def row(found: Outdated) -> Waiting:
        return Waiting(
            found.label, found.url, found.where, found.next_label, found.next_url, "patients.change_plan"
        )

    behind = outdated(plans_behind().filter(patient__in=Patient.objects.fed()))
    return group("behind", "Newer version exists", behind, row, whole)


def recipes_in_review(whole: str) -> Group:
    def row(recipe: Recipe) -> Waiting:
        url = reverse("recipes:recipe-detail", args=[recipe.pk])
        return Waiting(
            recipe.title, url, "waits for approval", "Review it", url, "recipes.approve_recipeversion"
        )

    waiting = Recipe.objects.filter(state=Recipe.State.IN_REVIEW)
    return group("review", "Recipes waiting for approval", list(waiting), row, whole)


def corrections_unseen(whole: str) -> Group:
    url = reverse("patients:recall-list")

    def row(correction) -> Waiting:
        return Waiting(
            correction.what, url, "not looked into: whom does it touch?", "Look into it", url,
            "patients.add_recall",
        )  # fmt: skip

    return group("corrections", "Corrections of nutrient data", unseen_corrections(), row, whole)
