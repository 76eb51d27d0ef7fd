"""Recipes of a file into the library: all of them, or none when anything in the file is wrong.

What is brought in is a draft, whatever it was elsewhere: a practitioner of this practice approves it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import models, transaction

from nutrients import queries as nutrients
from nutrients.models import Food
from recipes import obstacles, services
from recipes.exchange.json_lines import Path
from recipes.exchange.reading import BadRecipes, RecipeFile
from recipes.exchange.writing import content_of, with_all
from recipes.models import Ingredient, KitchenStep, Recipe, RecipeVersion, Substitution, SubstitutionAmount

FOREIGN = ("version", "food", "replaces", "substitution", "recipe", "profile", "author", "created_by")
PARTICULARS = ("note", "method", "vessel", "added_water_g", "cooked_weight_g")


class Clash(models.TextChoices):
    """What is done with a recipe whose title stands in the library with other content."""

    LEAVE_OUT = "leave_out", "leave it out"
    NEXT_VERSION = "next_version", "bring it in as the next version, a draft"
    NEW_TITLE = "new_title", "bring it in beside it, under a title of its own"


@dataclass
class Report:
    """Titles by what became of them."""

    new: list[str] = field(default_factory=list)
    next_version: list[str] = field(default_factory=list)
    same: list[str] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)


def bring_in(file: RecipeFile, *, by: User, clash: str, dry_run: bool = False) -> Report:
    """Raises BadRecipes with every line that cannot be brought in; nothing is written then."""
    known = _Known(file)
    if problems := [file.problem(path, reason) for path, reason in known.wrong()]:
        raise BadRecipes(problems)
    with transaction.atomic():
        report = Report()
        for place, content in enumerate(file.recipes):
            try:
                _take(content, known, by, clash, report)
            except ValidationError as refused:  # such as the next version of a recipe that is retired here
                reason = f"{content['title']}: {' '.join(refused.messages)}"
                raise BadRecipes([file.problem((place, "title"), reason)]) from None
        if dry_run:
            transaction.set_rollback(True)
    return report


class _Known:
    """The foods and profiles that a file names, and what is wrong with what it says."""

    def __init__(self, file: RecipeFile):
        self.recipes, self.has_steps = file.recipes, file.has_steps
        names = {line["food"] for version in _versions(file.recipes) for line in version["ingredients"]}
        for each in (each for version in _versions(file.recipes) for each in version["substitutions"]):
            names |= {each["replaces"], each["food"], *(line["food"] for line in each["amounts"])}
        foods = Food.objects.filter(name__in=names).select_related("supplement")
        self.foods = {food.name: food for food in foods}
        self.profiles = {profile.key: profile for profile in nutrients.feeding_profiles()}
        self.toxic = nutrients.toxic_cautions(names)

    def wrong(self) -> Iterator[tuple[Path, str]]:
        titles = set()
        for place, content in enumerate(self.recipes):
            if content["title"] in titles:
                yield (place, "title"), f"“{content['title']}” stands twice in this file."
            titles.add(content["title"])
            yield from self._wrong_recipe(content, (place,))

    def _wrong_recipe(self, content: dict, path: Path) -> Iterator[tuple[Path, str]]:
        if content["profile"] not in self.profiles:
            yield (*path, "profile"), f"No profile here has the key “{content['profile']}”."
        yield from _invalid(self.recipe(content), path)
        last = 0
        for place, version in enumerate(content["versions"]):
            at = (*path, "versions", place)
            if version["number"] <= last:
                yield (*at, "number"), "The versions must stand in order, from 1, each number once."
            last = version["number"]
            yield from _invalid(self.version(version), at)
            yield from self._wrong_lines(version, at)
            yield from self._wrong_substitutions(version, at)

    def _wrong_lines(self, version: dict, path: Path) -> Iterator[tuple[Path, str]]:
        seen = set()
        for place, line in enumerate(version["ingredients"]):
            at = (*path, "ingredients", place)
            if reason := self._unfit(line["food"]):
                yield (*at, "food"), reason
                continue
            yield from _invalid(self.ingredient(line), at)
            if (line["food"], line["when"]) in seen:
                yield at, f"{line['food']} goes in at this moment already: one line holds it."
            seen.add((line["food"], line["when"]))
            if too_hot := obstacles.too_hot(self.foods[line["food"]], line["when"]):
                yield (*at, "when"), too_hot
        for place, step in enumerate(version["kitchen_steps"]):
            yield from _invalid(KitchenStep(**step), (*path, "kitchen_steps", place))

    def _wrong_substitutions(self, version: dict, path: Path) -> Iterator[tuple[Path, str]]:
        present, seen = {line["food"] for line in version["ingredients"]}, set()
        for place, each in enumerate(version["substitutions"]):
            at = (*path, "substitutions", place)
            for name in (each["replaces"], *(line["food"] for line in each["amounts"])):
                if name not in present:
                    yield at, f"{name} is no ingredient of this version."
            if reason := self._unfit(each["food"]):
                yield (*at, "food"), reason
                continue
            if (each["replaces"], each["food"]) in seen or each["replaces"] == each["food"]:
                yield at, "A food stands in for another one, once."
            seen.add((each["replaces"], each["food"]))
            yield from _invalid(self.substitution(each), at)
            for number, line in enumerate(each["amounts"]):
                yield from _invalid(SubstitutionAmount(grams=line["grams"]), (*at, "amounts", number))

    def _unfit(self, name: str) -> str:
        """Why a food of this name cannot go in; "" when it can."""
        if caution := self.toxic.get(name):
            return obstacles.forbidden(caution)
        return "" if name in self.foods else f"No food here is called “{name[:80]}”: enter it first."

    def recipe(self, content: dict) -> Recipe:
        return Recipe(
            profile=self.profiles.get(content["profile"]),
            **{name: content[name] for name in ("title", "purpose", "tags")},
        )

    def version(self, content: dict) -> RecipeVersion:
        return RecipeVersion(
            number=max(content["number"], 0), **{name: content[name] for name in PARTICULARS}
        )

    def ingredient(self, line: dict) -> Ingredient:
        return Ingredient(**line | {"food": self.foods[line["food"]]})

    def substitution(self, each: dict) -> Substitution:
        fields = {name: each[name] for name in ("grams", "when", "note")}
        return Substitution(
            replaces=self.foods.get(each["replaces"]), food=self.foods[each["food"]], **fields
        )


def _versions(recipes: list[dict]) -> Iterator[dict]:
    return (version for content in recipes for version in content["versions"])


def _invalid(record: models.Model, path: Path) -> Iterator[tuple[Path, str]]:
    """What the record's own rules refuse."""
    try:
        record.clean_fields(exclude=FOREIGN)
    except ValidationError as wrong:
        for name, reasons in wrong.message_dict.items():
            yield (*path, name), f"{name}: {' '.join(reasons)}"


def _take(content: dict, known: _Known, by: User, clash: str, report: Report) -> None:
    here = with_all(Recipe.objects.filter(title=content["title"])).first()
    if here is None:
        _make(content, known, by)
        report.new.append(content["title"])
    elif content_of(here) == content:
        report.same.append(content["title"])
    elif clash == Clash.NEXT_VERSION:
        _make_next(here, content["versions"][-1], known, by)
        report.next_version.append(content["title"])
    elif clash == Clash.NEW_TITLE:
        title = _free_title(content["title"])
        _make(content | {"title": title}, known, by)
        report.new.append(title)
    else:
        report.left_out.append(content["title"])


def _free_title(title: str) -> str:
    """The title with the first number in brackets that no recipe has, shortened where it must be."""
    most, number = Recipe._meta.get_field("title").max_length, 2
    while True:
        ending = f" ({number})"
        free = title[: most - len(ending)] + ending
        if not Recipe.objects.filter(title=free).exists():
            return free
        number += 1


def _make(content: dict, known: _Known, by: User) -> None:
    recipe = known.recipe(content)
    recipe.full_clean()
    recipe.save()
    for each in content["versions"]:
        version = known.version(each)
        version.recipe, version.author = recipe, by
        version.full_clean()
        version.save()
        for position, line in enumerate(each["ingredients"]):
            ingredient = known.ingredient(line)
            ingredient.version, ingredient.position = version, position
            ingredient.save()
        for position, step in enumerate(each["kitchen_steps"]):
            KitchenStep.objects.create(version=version, position=position, **step)
        _add_substitutions(version, each, known, by)


def _make_next(recipe: Recipe, content: dict, known: _Known, by: User) -> None:
    """What the file cannot hold stays as it is in the latest version."""
    steps = [KitchenStep(**step) for step in content["kitchen_steps"]]
    if not known.has_steps:
        steps = [_again(step) for step in recipe.latest().kitchen_steps.all()]
    version = services.save_version(
        recipe=recipe,
        particulars={name: content[name] for name in PARTICULARS},
        ingredients=[known.ingredient(line) for line in content["ingredients"]],
        kitchen_steps=steps,
        author=by,
    )
    if known.has_steps:
        version.substitutions.all().delete()
        _add_substitutions(version, content, known, by)


def _again(step: KitchenStep) -> KitchenStep:
    return KitchenStep(text=step.text, minutes=step.minutes, temperature_c=step.temperature_c)


def _add_substitutions(version: RecipeVersion, content: dict, known: _Known, by: User) -> None:
    for each in content["substitutions"]:
        made = known.substitution(each)
        made.version, made.created_by = version, by
        made.full_clean()
        made.save()
        for line in each["amounts"]:
            made.amounts.create(food=known.foods[line["food"]], grams=line["grams"])
