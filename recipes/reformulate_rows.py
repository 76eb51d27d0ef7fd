"""The left side of a reformulation as it is sent: filled in at first, lines put in and taken out."""

from collections.abc import Iterable

from django.utils.datastructures import MultiValueDict

from nutrients import queries as nutrients
from nutrients.models import Food
from recipes import queries
from recipes.lines import Typed, typed_lines
from recipes.models import Ingredient
from recipes.reformulate_bounds import caps, food_bounds, most_doses, new_food_most
from recipes.reformulate_forms import (
    CHOICES,
    MOST_CHOICES,
    MOST_SHOWN,
    ChoiceForm,
    goes_in,
    grams_of_one,
    refused,
)
from recipes.reformulate_start import Start, foods_by_key
from recipes.services import fingerprint

FIELDS = tuple(ChoiceForm.base_fields)
ON = "on"


def filled_in(start: Start, kcal: float) -> MultiValueDict:
    """All lines free, foods from 70 to 130 %, every supplement of the practice on offer, its own profile."""
    data = MultiValueDict({"seen": [fingerprint(start.version)], "margin": ["0"]})
    data.setlist("profiles", [start.version.recipe.profile.key])
    present = {line.food_id for line in start.ingredients}
    offered = nutrients.foods_matching(supplements=True, discontinued=False).exclude(pk__in=present)
    room = max(0, MOST_CHOICES - len(start.ingredients))
    new = list(foods_by_key(offered.values_list("pk", flat=True)[:room]).values())
    rows = _rows([*start.ingredients, *(_new_line(food) for food in new)], start, kcal)
    return _with_rows(data, rows)


def _new_line(food: Food) -> Ingredient:
    line = Ingredient(food=food, grams=0)
    line.when = goes_in(queries.portion(line))
    return line


def _rows(lines: Iterable[Ingredient], start: Start, kcal: float) -> list[Typed]:
    """The lines as they are first offered."""
    lines = list(lines)
    capped = caps([nutrients.profile_limits(start.version.recipe.profile)])
    portions = [queries.portion(line) for line in lines]
    table = nutrients.food_table(foods={portion.food for portion in portions}).to_dict("index")
    rows = []
    for line, portion in zip(lines, portions, strict=True):
        if portion.is_supplement:
            doses = most_doses(portion, table[portion.food], kcal, capped)
            of_one = portion.grams_per_dose_unit or 1.0
            least, most = 0.0, doses * of_one / grams_of_one(portion)
        elif portion.grams:
            least, most = food_bounds(portion.grams)
        else:
            least, most = 0.0, new_food_most(sum(each.grams for each in start.ingredients))
        rows.append(
            {
                "food": str(line.food_id or line.food.pk),
                "when": line.when,
                "moves": ON,
                "least": f"{least:.10g}",
                "most": f"{most:.10g}",
                "cost_per_kg": "",
            }
        )
    return rows


def _with_rows(data: MultiValueDict, rows: list[Typed]) -> MultiValueDict:
    changed = MultiValueDict({key: data.getlist(key) for key in data if not key.startswith(f"{CHOICES}-")})
    changed[f"{CHOICES}-TOTAL_FORMS"] = str(len(rows))
    changed[f"{CHOICES}-INITIAL_FORMS"] = "0"
    for place, row in enumerate(rows):
        for field, value in row.items():
            if field != "moves" or value:
                changed[f"{CHOICES}-{place}-{field}"] = value
    return changed


def rearranged(data: MultiValueDict, start: Start, kcal: float, act: str) -> tuple[MultiValueDict, str]:
    """What was sent after `add-57` (food 57), `drop-3` (line 3), `all` or `none` of the supplements.

    Also why it could not be done, "" when it was.
    """
    rows = typed_lines(data, CHOICES, FIELDS, MOST_SHOWN)
    act, _, number = act.partition("-")
    place = int(number) if number.isdecimal() and len(number) < 10 else -1
    if act == "add":
        rows, problem = _added(rows, start, kcal, place)
        return _with_rows(data, rows), problem
    if act == "drop" and 0 <= place < len(rows):
        del rows[place]
    if act in ("all", "none"):
        rows = _ticked(rows, start, ON if act == "all" else "")
    return _with_rows(data, rows), ""


def _added(rows: list[Typed], start: Start, kcal: float, pk: int) -> tuple[list[Typed], str]:
    food = foods_by_key([pk]).get(pk)
    if food is None:
        return rows, "This food is not there any more: choose another."
    if said := refused(food):
        return rows, said
    if str(pk) in [row["food"] for row in rows]:
        return rows, f"{food} stands among the lines already."
    if len(rows) >= MOST_CHOICES:
        return rows, f"{MOST_CHOICES} lines are the most: take one out first."
    [row] = _rows([_new_line(food)], start, kcal)
    return [*rows, row], ""


def _ticked(rows: list[Typed], start: Start, value: str) -> list[Typed]:
    """With every supplement that is not in the recipe ticked, or none."""
    offered = set(nutrients.foods_matching(supplements=True).values_list("pk", flat=True))
    present = {(str(line.food_id), line.when) for line in start.ingredients}
    return [
        row | {"moves": value}
        if row["food"].isdecimal()
        and int(row["food"]) in offered
        and (row["food"], row["when"]) not in present
        else row
        for row in rows
    ]
