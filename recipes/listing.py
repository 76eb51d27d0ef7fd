"""The rows of the library, each with the figures that are kept with its version."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.db.models import F

from nutrients.models import Profile
from recipes.figure_words import Figure
from recipes.models import Recipe, RecipeVersion, VersionAnswers, VersionFigures
from recipes.presentation import verdict
from recipes.queries import tags_of

ENERGY_PARTS = ("protein", "fat", "carbohydrate")


@dataclass(frozen=True)
class EnergyShare:
    """A part of the energy in percent, and where its piece of a bar of 100 begins."""

    key: str
    percent: float
    begins: float


@dataclass(frozen=True)
class AskedFigure:
    """A figure in its unit; amount None: not wholly known."""

    figure: Figure
    amount: float | None


@dataclass(frozen=True)
class RecipeRow:
    """figures None: they are being renewed, or the version holds nothing whose energy could be counted.

    counts: of the answers to the limits of `profile`; energy: empty while not wholly known.
    against: why the recipe does not fit a dog.
    """

    version: RecipeVersion
    profile: Profile
    figures: VersionFigures | None
    renewing: bool
    energy: tuple[EnergyShare, ...]
    counts: dict[str, int]
    asked: tuple[AskedFigure, ...]
    against: tuple[str, ...] = ()

    @property
    def recipe(self) -> Recipe:
        return self.version.recipe

    @property
    def tags(self) -> list[str]:
        return tags_of(self.recipe.tags)

    @property
    def verdict(self) -> str:
        return verdict(self.counts) if self.counts else ""


def rows(
    versions: Iterable[RecipeVersion],
    asked: Sequence[Figure] = (),
    profile: Profile | None = None,
    against: Mapping[int, Sequence[str]] | None = None,
) -> list[RecipeRow]:
    """In their order. asked: figures to be shown beside the energy; profile: to be counted by instead of
    each recipe's own; against: reasons by the version's primary key.
    """
    versions = list(versions)
    kept = VersionAnswers.objects.filter(
        version__in=[version.pk for version in versions],
        profile=profile or F("version__recipe__profile"),
    )
    counts = {each.version_id: each.counts for each in kept}
    return [
        _row(version, profile or version.recipe.profile, counts, asked, (against or {}).get(version.pk, ()))
        for version in versions
    ]


def _row(
    version: RecipeVersion, profile: Profile, counts: Mapping, asked: Sequence[Figure], against: Sequence[str]
) -> RecipeRow:
    kept = getattr(version, "figures", None)
    fresh = kept is not None and kept.fresh
    figures = kept if fresh and kept.has_energy else None
    return RecipeRow(
        version=version,
        profile=profile,
        figures=figures,
        renewing=not fresh,
        energy=_shares(figures) if figures else (),
        counts=counts.get(version.pk, {}) if figures else {},
        asked=tuple(AskedFigure(each, amount(figures, each)) for each in asked) if figures else (),
        against=tuple(against),
    )


def amount(figures: VersionFigures, figure: Figure) -> float | None:
    """A kept figure in the unit in which it is shown."""
    kept = getattr(figures, figure.key)
    return None if kept is None else kept / figure.stored


def _shares(figures: VersionFigures) -> tuple[EnergyShare, ...]:
    percents = (figures.protein_percent, figures.fat_percent, figures.nfe_percent)
    if None in percents:
        return ()
    begins = (0.0, percents[0], percents[0] + percents[1])
    return tuple(map(EnergyShare, ENERGY_PARTS, percents, begins))
