"""What a file of recipes holds, field by field. Pure.

A file of this layout says `"layout": 1`. A field may only be added or change its meaning together with that
number. Who wrote and approved a version stays with the practice: what is brought in is a draft.
"""

from dataclasses import dataclass

LAYOUT = 1
NAME = "bowlwright recipes"

SCALARS = TEXT, NUMBER, WHOLE = "text", "number", "whole number"
MOST_RECIPES = 10_000
MOST_BYTES = 20 * 10**6


@dataclass(frozen=True)
class Field:
    """kind: TEXT, NUMBER, WHOLE or the name of the part that the list holds.

    may_be_empty: null, an empty text or an empty list.
    """

    name: str
    kind: str
    meaning: str
    may_be_empty: bool = False

    @property
    def kind_in_words(self) -> str:
        kind = self.kind if self.kind in SCALARS else f"list of: {self.kind}"
        return f"{kind}, may be empty" if self.may_be_empty else kind


FILE, RECIPE, VERSION = "file", "recipe", "version"
INGREDIENT, STEP, SUBSTITUTION, AMOUNT = "ingredient", "kitchen step", "substitution", "changed amount"

PARTS: dict[str, tuple[Field, ...]] = {
    FILE: (
        Field("holds", TEXT, f"Always “{NAME}”."),
        Field("layout", WHOLE, f"The number of this layout: {LAYOUT}."),
        Field("recipes", RECIPE, "The recipes.", may_be_empty=True),
    ),
    RECIPE: (
        Field("title", TEXT, "Its title, which no other recipe has."),
        Field("purpose", TEXT, "What it is for.", may_be_empty=True),
        Field("tags", TEXT, "Words to find it by, separated by commas.", may_be_empty=True),
        Field("profile", TEXT, "Key of the profile that it is meant to meet, such as aafco-adult."),
        Field("versions", VERSION, "Its versions, the oldest first."),
    ),
    VERSION: (
        Field("number", WHOLE, "The number of the version, from 1."),
        Field("note", TEXT, "What changed.", may_be_empty=True),
        Field("method", TEXT, "How it is cooked, such as simmered_liquid_kept."),
        Field("vessel", TEXT, "What it is cooked in.", may_be_empty=True),
        Field("added_water_g", NUMBER, "Water added, in grams."),
        Field("cooked_weight_g", NUMBER, "Cooked weight as weighed, in grams; null: never.", True),
        Field("ingredients", INGREDIENT, "What goes in, in its order."),
        Field("kitchen_steps", STEP, "What is done, in its order.", may_be_empty=True),
        Field("substitutions", SUBSTITUTION, "What may stand in for a food of it.", may_be_empty=True),
    ),
    INGREDIENT: (
        Field("food", TEXT, "The food's whole name in the food table."),
        Field("grams", NUMBER, "Grams of the edible part."),
        Field("when", TEXT, "in_the_pot, late, off_the_heat, cooled_batch or in_the_bowl."),
        Field("step_g", NUMBER, "Rounding step of a scaled batch, in grams."),
        Field("note", TEXT, "A word on it.", may_be_empty=True),
    ),
    STEP: (
        Field("text", TEXT, "What to do."),
        Field("minutes", WHOLE, "How long; null: not said.", may_be_empty=True),
        Field("temperature_c", NUMBER, "°C to reach inside; null: none.", may_be_empty=True),
    ),
    SUBSTITUTION: (
        Field("replaces", TEXT, "The food of the version that it stands in for."),
        Field("food", TEXT, "The food that stands in."),
        Field("grams", NUMBER, "Grams of it for the whole batch."),
        Field("when", TEXT, "When it goes in."),
        Field("note", TEXT, "A word on it.", may_be_empty=True),
        Field("amounts", AMOUNT, "Other lines that change along with it.", may_be_empty=True),
    ),
    AMOUNT: (
        Field("food", TEXT, "A food of the version."),
        Field("grams", NUMBER, "Its grams then; 0 leaves it out."),
    ),
}

# One row for each ingredient of a recipe's latest version; kitchen steps and substitutions stay out.
CSV_RECIPE = ("title", "purpose", "tags", "profile")
CSV_VERSION = ("note", "method", "vessel", "added_water_g", "cooked_weight_g")
CSV_INGREDIENT = ("food", "grams", "when", "step_g", "note")
CSV_COLUMNS = (
    *CSV_RECIPE, "version_note", *CSV_VERSION[1:], *CSV_INGREDIENT[:-1], "ingredient_note"
)  # fmt: skip
