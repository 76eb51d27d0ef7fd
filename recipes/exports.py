"""The library and the adequacy table as rows of a file. Unknown amounts are None."""

import pandas as pd

from nutrients.adequacy import answer_word
from recipes.figure_words import FIGURES
from recipes.listing import ENERGY_PARTS, RecipeRow, amount

RECIPE_COLUMNS = (
    "recipe", "version", "state", "profile", "method", "energy by 4/9/4 (kcal per 100 g cooked)",
    "cooked weight", "energy from protein (%)", "energy from fat (%)", "energy from carbohydrate (%)", "met",
    "below minimum", "above maximum", "cannot be confirmed",
    *(f"{figure.name.lower()} ({figure.in_words})" for figure in FIGURES[1:]), "purpose", "tags", "note",
)  # fmt: skip
ADEQUACY_COLUMNS = (
    "group", "nutrient", "unit", "amount per 1000 kcal (a ratio as such)", "minimum", "maximum",
    "kind of maximum", "% of minimum", "answer for the minimum", "answer for the maximum",
    "known (share of the weight)", "no value in", "source", "certainty", "certainty of the maximum", "note",
)  # fmt: skip


def recipe_row(row: RecipeRow) -> tuple:
    """Cells stay empty where a figure is not wholly known, and while figures are being renewed."""
    recipe, version, figures = row.recipe, row.version, row.figures
    about = (
        recipe.title, version.number, recipe.get_state_display(), str(recipe.profile),
        version.get_method_display(),
    )  # fmt: skip
    weight = figures and ("estimate" if figures.cooked_is_estimate else "weighed")
    energy = [share.percent for share in row.energy] or [None] * len(ENERGY_PARTS)
    counts = [row.counts.get(answer) for answer in ("meets", "below", "above", "cannot_confirm")]
    amounts = [figures and amount(figures, figure) for figure in FIGURES]
    note = "figures are being renewed" if row.renewing else ""
    per_100g, *per_1000_kcal = amounts
    return (
        *about, per_100g, weight, *energy, *counts, *per_1000_kcal, recipe.purpose, recipe.tags, note,
    )  # fmt: skip


def adequacy_rows(judgement: pd.DataFrame) -> list[tuple]:
    """A row per limit of `nutrients.adequacy.judge`, with both answers in words."""
    return [
        (
            line["group"], line["name"], line["unit"], line["amount"], line["minimum"], line["maximum"],
            line["maximum_kind"], line["percent_of_minimum"], _word(line["minimum_answer"], "minimum"),
            _word(line["maximum_answer"], line["maximum_kind"]), line["completeness"],
            "; ".join(line["missing"]), line["source"], line["certainty"], line["maximum_certainty"],
            line["note"],
        )
        for _, line in judgement.iterrows()
    ]  # fmt: skip


def _word(answer: str, kind: str) -> str:
    return answer_word(answer, kind) if answer else ""
