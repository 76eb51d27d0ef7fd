"""Animal food that a recipe feeds raw, and the cautions that this brings up. Pure."""

from collections.abc import Sequence

from recipes import kidney_beans
from recipes.analysis import COOKED_STATES, NOT_HEATED, Portion

RAW_GROUPS = ("muscle meat", "organ", "fish & shellfish", "egg")
ANADROMOUS = ("salmon", "trout")

# Subjects of the caution table.
RAW_FISH = "raw salmon, trout and other anadromous fish"
RAW_ANIMAL_FOOD = "raw or undercooked meat, poultry, offal, eggs"
# Found by a word in a food's name, but true only of what is eaten raw.
ONLY_OF_RAW = frozenset(
    {"raw egg white", "raw fish with thiaminase (carp, herring, smelt, clams, some tuna)"}
)


def is_fed_raw(portion: Portion, method: str) -> bool:
    """Entered raw, and it never meets the heat."""
    return portion.state == "raw" and (not portion.meets_heat or method == NOT_HEATED)


def holds_for(subject: str, portion: Portion, method: str) -> bool:
    """Does a caution that a food's name brings up hold for it as it is fed?"""
    if subject == kidney_beans.SUBJECT and portion.state in COOKED_STATES:
        return False
    return subject not in ONLY_OF_RAW or is_fed_raw(portion, method)


def uncooked_animal_foods(portions: Sequence[Portion], method: str) -> list[str]:
    return [
        portion.food for portion in portions if portion.group in RAW_GROUPS and is_fed_raw(portion, method)
    ]


def subjects(portions: Sequence[Portion], method: str) -> dict[str, list[str]]:
    """Subject of the caution table -> the foods that bring it up; empty when all animal food is cooked."""
    raw = uncooked_animal_foods(portions, method)
    fish = [food for food in raw if any(word in food.lower() for word in ANADROMOUS)]
    found = {RAW_FISH: fish, RAW_ANIMAL_FOOD: raw}
    return {subject: foods for subject, foods in found.items() if foods}
