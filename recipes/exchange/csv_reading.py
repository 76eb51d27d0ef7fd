"""Recipes read from a CSV file: a row for each ingredient, rows of one recipe together. Pure."""

import csv
import io

from nutrients.csv_text import plain_cell
from recipes.exchange import layout
from recipes.exchange.json_lines import Path
from recipes.exchange.reading import BadRecipes, Problem, RecipeFile, check


def read_csv(text: str) -> RecipeFile:
    """A row for each ingredient; rows of one recipe stand together. Raises BadRecipes, as `read_json`."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    recipes, lines, problems = [], {}, []
    try:
        head = [name.strip() for name in next(reader, [])]
        if missing := [name for name in layout.CSV_COLUMNS if name not in head]:
            raise BadRecipes([Problem(1, f"The columns {', '.join(missing)} are missing.")])
        for cells in reader:
            if any(cells):
                row = dict(zip(head, cells, strict=False))
                problems += _take_row(row, reader.line_num, recipes, lines)
    except csv.Error as wrong:
        raise BadRecipes([Problem(reader.line_num, f"This is no CSV: {wrong}.")]) from None
    found = RecipeFile(recipes, lines, has_steps=False)
    for place, recipe in enumerate(recipes):
        problems += [found.problem(path, reason) for path, reason in check(recipe, layout.RECIPE, (place,))]
    if not recipes and not problems:
        problems = [Problem(None, "No ingredient stands in this file.")]
    if problems:
        raise BadRecipes(problems)
    return found


def _take_row(row: dict[str, str], line: int, recipes: list[dict], lines: dict[Path, int]) -> list[Problem]:
    """Add a row to the recipe it belongs to; what is no number in it is told."""
    cell = {name: plain_cell(row.get(name) or "").strip() for name in layout.CSV_COLUMNS}
    problems = []

    def number(name: str, empty: float | None) -> float | None:
        if not cell[name]:
            return empty
        try:
            return float(cell[name])
        except ValueError:
            problems.append(Problem(line, f"“{name}” must be a number, not “{cell[name][:40]}”."))
            return empty

    if not recipes or recipes[-1]["title"] != cell["title"]:
        lines[(len(recipes),)] = line
        recipes.append(_recipe_of(cell, number))
    ingredients = recipes[-1]["versions"][0]["ingredients"]
    lines[len(recipes) - 1, "versions", 0, "ingredients", len(ingredients)] = line
    ingredients.append(
        {
            "food": cell["food"],
            "grams": number("grams", None),
            "when": cell["when"],
            "step_g": number("step_g", None),
            "note": cell["ingredient_note"],
        }
    )
    return problems


def _recipe_of(cell: dict[str, str], number) -> dict:
    version = {
        "number": 1,
        "note": cell["version_note"],
        "method": cell["method"],
        "vessel": cell["vessel"],
        "added_water_g": number("added_water_g", 0.0),
        "cooked_weight_g": number("cooked_weight_g", None),
        "ingredients": [],
        "kitchen_steps": [],
        "substitutions": [],
    }
    return {name: cell[name] for name in layout.CSV_RECIPE} | {"versions": [version]}
