"""The search of the library: by words, by what stands in a recipe, by its kept figures, and for a dog.

It finds the latest version of each recipe. What is not wholly known decides nothing: such a version is
neither in nor out, and is found by `undecided`.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby

from django.db.models import Case, Exists, F, OuterRef, Q, QuerySet, Subquery, When

from nutrients.food_queries import with_words
from nutrients.models import Food, Profile
from recipes.dogs import LibraryDog
from recipes.models import Ingredient, RecipeVersion, VersionAnswers
from recipes.queries import recipes_matching

FRESH = Q(figures__done=F("figures__due"))
TITLE, NEWEST, OPEN = "title", "newest", "open"


@dataclass(frozen=True)
class Band:
    """A kept figure and the least and the most it may be, in the unit in which it is kept; None: any."""

    figure: str
    least: float | None = None
    most: float | None = None

    def holds(self) -> Q:
        wanted = {"gte": self.least, "lte": self.most}
        return Q(**{f"figures__{self.figure}__{how}": x for how, x in wanted.items() if x is not None})

    def unknown(self) -> Q:
        return Q(**{f"figures__{self.figure}": None})


@dataclass(frozen=True)
class Met:
    """A profile of which nothing is below or above; with_gaps: data may be missing for some limits."""

    profile: Profile
    with_gaps: bool = False

    def holds(self) -> Q:
        return Q(Exists(self._kept(below=0, above=0, **({} if self.with_gaps else {"cannot_confirm": 0}))))

    def unknown(self) -> Q:
        nothing_kept = Q(~Exists(self._kept()))
        if self.with_gaps:
            return nothing_kept
        return nothing_kept | Q(Exists(self._kept(below=0, above=0, cannot_confirm__gt=0)))

    def _kept(self, **such) -> QuerySet[VersionAnswers]:
        return VersionAnswers.objects.filter(version=OuterRef("pk"), profile=self.profile, **such)


@dataclass(frozen=True)
class Search:
    """matching: asked of `recipes.queries.recipes_matching`. holding: for each of these texts a food of the
    version is called so, as `nutrients.food_queries.with_words` finds it; without: none of its foods is.
    order: TITLE, NEWEST, OPEN (fewest open limits of the own profile first) or a kept figure, with a minus
    for the largest first.
    """

    matching: dict = field(default_factory=dict)
    holding: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    bands: tuple[Band, ...] = ()
    met: Met | None = None
    dog: LibraryDog | None = None
    order: str = TITLE

    @property
    def by_figures(self) -> bool:
        return bool(self.bands or self.met)

    @cached_property
    def found(self) -> QuerySet[RecipeVersion]:
        """What is like that, as far as it is known; for a dog what fits it."""
        return self._ordered(self._decided.exclude(self._unfit) if self.dog else self._decided)

    @cached_property
    def undecided(self) -> QuerySet[RecipeVersion]:
        """What may be like that: nothing known speaks against it, and data for some of it is missing."""
        if not self.by_figures:
            return RecipeVersion.objects.none()
        asked = [*self.bands, *filter(None, [self.met])]
        versions = self._versions.exclude(pk__in=self._decided.order_by().values("pk"))
        for each in asked:
            versions = versions.filter(each.holds() | each.unknown() | ~FRESH | Q(figures=None))
        return self._ordered(versions.exclude(self._unfit) if self.dog else versions)

    @cached_property
    def left_out(self) -> QuerySet[RecipeVersion]:
        """What is like that and does not fit the dog."""
        return self._ordered(self._decided.filter(self._unfit)) if self.dog else RecipeVersion.objects.none()

    @cached_property
    def _versions(self) -> QuerySet[RecipeVersion]:
        newest = RecipeVersion.objects.filter(recipe=OuterRef("recipe")).order_by("-number")
        versions = RecipeVersion.objects.filter(number=Subquery(newest.values("number")[:1]))
        if any(self.matching.values()):
            versions = versions.filter(recipe__in=recipes_matching(**self.matching).order_by().values("pk"))
        for text in self.holding:
            versions = versions.filter(Exists(_lines_called(text)))
        for text in self.without:
            versions = versions.exclude(Exists(_lines_called(text)))
        return versions.select_related("recipe__profile__standard", "figures")

    @cached_property
    def _decided(self) -> QuerySet[RecipeVersion]:
        versions = self._versions
        for each in [*self.bands, *filter(None, [self.met])]:
            versions = versions.filter(FRESH, each.holds())
        return versions

    def _ordered(self, versions: QuerySet[RecipeVersion]) -> QuerySet[RecipeVersion]:
        if self.order == NEWEST:
            return versions.order_by("-created_at", "recipe__title")
        if self.order == TITLE:
            return versions.order_by("recipe__title")
        versions = versions.annotate(rank=Case(When(FRESH, then=self._ranked_by())))
        rank = F("rank").desc(nulls_last=True) if self.order[0] == "-" else F("rank").asc(nulls_last=True)
        return versions.order_by(rank, "recipe__title")

    def _ranked_by(self):
        if self.order != OPEN:
            return F(f"figures__{self.order.removeprefix('-')}")
        own = VersionAnswers.objects.filter(version=OuterRef("pk"), profile=OuterRef("recipe__profile"))
        return Subquery(own.values_list(F("below") + F("above") + F("cannot_confirm"))[:1])

    @cached_property
    def _unfit(self) -> Q:
        """Meant for another life stage, with a food that the dog avoids, or forbidden by a caution."""
        fits = Q(recipe__profile__key__in=self.dog.profile_keys)
        eaten = dict(Food.objects.filter(pk__in=_eaten()).values_list("name", "group"))
        self.dog.blocked(eaten)  # so that it looks up all their names at once
        holding = Ingredient.objects.filter(version=OuterRef("pk"), food__name__in=self.dog.avoided(eaten))
        candidates = self._versions.filter(fits).exclude(Exists(holding)).order_by().values("pk")
        blocked = [pk for pk, foods in foods_of(candidates) if self.dog.blocked(foods)]
        return ~fits | Q(Exists(holding)) | Q(pk__in=blocked)


def _lines_called(text: str) -> QuerySet[Ingredient]:
    foods = with_words(Food.objects.all(), text).order_by().values("pk")
    return Ingredient.objects.filter(version=OuterRef("pk"), food__in=foods)


def _eaten() -> QuerySet[Ingredient]:
    return Ingredient.objects.order_by().values("food").distinct()


def foods_of(versions: QuerySet | Iterable) -> Iterable[tuple[int, dict[str, str]]]:
    """Each version's primary key with its foods, name -> group. versions: anything to filter lines by."""
    lines = Ingredient.objects.filter(version__in=versions).order_by("version", "position")
    rows = lines.values_list("version", "food__name", "food__group")
    for pk, of_version in groupby(rows, key=lambda row: row[0]):
        yield pk, {name: group for _, name, group in of_version}


def reasons_against(dog: LibraryDog, version: RecipeVersion, foods: dict[str, str]) -> list[str]:
    """Why a recipe does not fit a dog, in sentences."""
    profile = version.recipe.profile
    stage = [] if profile.key in dog.profile_keys else [f"It is meant for {profile}, another life stage."]
    return [*stage, *dog.avoided(foods).values(), *dog.blocked(foods)]
