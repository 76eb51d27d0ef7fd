"""What follows from a recipe, looked at in one way: for its page and for the panel beside its form alike."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from nutrients import queries as nutrients
from nutrients.adequacy import ProfileLimits, judge
from nutrients.composition import RATIOS
from nutrients.models import Method, Nutrient, Profile
from recipes import dogs, limit_rows, presentation, queries
from recipes.analysis import Analysis, Portion, no_factor_published
from recipes.basis import BASES, USUAL, Basis, basis_of
from recipes.models import RecipeVersion
from recipes.notes import Note, notes
from recipes.switches import Switches


@dataclass(frozen=True)
class Options:
    """What the switches offer."""

    profiles: list[Profile]
    bases: list[tuple[str, str]]
    dogs: list[tuple[int, str]]


def options() -> Options:
    return Options(list(nutrients.feeding_profiles()), list(BASES.items()), dogs.choices())


def profile_of(switches: Switches, meant: Profile | None) -> Profile | None:
    """The profile that was asked for; `meant` when none was, or one that no recipe is fed by."""
    asked = nutrients.feeding_profiles().filter(key=switches.profile).first() if switches.profile else None
    return asked or meant


@dataclass(frozen=True)
class Findings:
    """analysis, figures: of what is fed, against the profile. shown, shown_figures: as the switches say,
    before cooking or with the minima of a dog.

    groups: the limits that are shown, all or the open ones; `limits` counts all, `fully_known` those that
    rest on a value in every ingredient. no_factor: nutrients without a published retention factor.
    estimates: how many values are such. after_cooking: the verdict on what is fed and the answers that
    cooking changes, while the raw batch is shown. said: what stands in the way of what was asked for.
    not_for_dog: why the dog must not get it. nutrient None: none was asked for.
    """

    switches: Switches
    profile: Profile
    analysis: Analysis
    figures: presentation.Figures
    shown: Analysis
    shown_figures: presentation.Figures
    basis: Basis
    facts: list[presentation.Fact]
    watched: list[presentation.Watched]
    notes: list[Note]
    groups: list[tuple[str, list[limit_rows.LimitRow]]]
    limits: int
    fully_known: int
    no_factor: tuple[str, ...]
    estimates: int
    after_cooking: tuple[str, list[str]] | None
    dog: dogs.LibraryDog | None
    said: list[str]
    not_for_dog: list[str]
    nutrient: Nutrient | None
    brought: list[presentation.BroughtRow]

    @property
    def raised_for(self) -> str:
        """The dog by whose intake minima are raised, or ""."""
        return self.dog.label if self.dog and self.dog.raised else ""

    @property
    def bringing(self) -> list[presentation.BroughtRow]:
        return [row for row in self.brought if row.amount != 0]

    @property
    def bringing_nothing(self) -> list[str]:
        return [row.food for row in self.brought if row.amount == 0]

    @property
    def plain(self) -> bool:
        """Are amounts shown as they are judged and fed, so that their origin can be told?"""
        return self.basis.is_usual and not self.switches.uncooked and self.switches.estimates


def of(version: RecipeVersion, portions: Sequence[Portion], switches: Switches, profile: Profile) -> Findings:
    """version, portions: saved or not. Raises ValueError when the portions hold no energy."""
    portions = list(portions)
    given = queries.reference(portions, estimates=switches.estimates)
    limits, dog = nutrients.profile_limits(profile), dogs.dog(switches.dog)
    raised = dog.raised(limits) if dog and dog.raised else limits
    analysis = given.analysis(version, portions, limits)
    fed = analysis if raised is limits else _judged(analysis, raised)
    shown = _uncooked(given, portions, raised) if switches.uncooked else fed
    basis, problems = _basis(switches.basis, shown, dog)
    rows = limit_rows.limit_rows(shown, basis)
    figures = presentation.figures(analysis)
    nutrient = _nutrient(switches.nutrient)
    return Findings(
        switches=switches,
        profile=profile,
        analysis=analysis,
        figures=figures,
        shown=shown,
        shown_figures=figures if shown is analysis else presentation.figures(shown),
        basis=basis,
        facts=presentation.facts(shown, switches.uncooked),
        watched=presentation.watched(shown, nutrients.watch_levels()),
        notes=notes(shown, portions),
        groups=limit_rows.grouped(rows, shown.judgement["group"], only_open=switches.only_open),
        limits=len(rows),
        fully_known=sum(not row.missing for row in rows),
        no_factor=no_factor_published(analysis.judgement, given.retention, version.method),
        estimates=len(given.estimates if switches.estimates else _left_out(portions)),
        after_cooking=_after_cooking(shown, fed) if switches.uncooked else None,
        dog=dog,
        said=[*problems, *_said_of(dog, profile)],
        not_for_dog=_not_for(dog, portions),
        nutrient=nutrient,
        brought=presentation.brought(shown, nutrient.key) if nutrient else [],
    )


def _nutrient(key: str) -> Nutrient | None:
    """None for a ratio, of which no ingredient brings a part."""
    return Nutrient.objects.filter(key=key).exclude(key__in=RATIOS).first() if key else None


def _left_out(portions: list[Portion]) -> frozenset[tuple[str, str]]:
    return nutrients.estimates({portion.food for portion in portions})


def _judged(analysis: Analysis, limits: ProfileLimits) -> Analysis:
    made_of = analysis.composition
    judgement = judge(made_of.totals, made_of.completeness, analysis.energy.kcal, limits)
    return replace(analysis, judgement=judgement)


def _uncooked(given: queries.Reference, portions: list[Portion], limits: ProfileLimits) -> Analysis:
    """The batch as it goes in: nothing is lost to heat, and its weight is no estimate."""
    raw = given.analysis(RecipeVersion(method=Method.NOT_HEATED), portions, limits)
    return replace(raw, cooked_is_estimate=False)


def _after_cooking(raw: Analysis, fed: Analysis) -> tuple[str, list[str]]:
    changes = presentation.changed_by_cooking(raw.judgement, fed.judgement)
    return presentation.figures(fed).verdict, changes


def _basis(key: str, analysis: Analysis, dog: dogs.LibraryDog | None) -> tuple[Basis, list[str]]:
    """The basis that was asked for; the usual one with a sentence when it cannot be told."""
    try:
        return basis_of(key, analysis, dog.label if dog else "", dog and dog.kcal_per_day), []
    except ValueError as problem:
        return USUAL, [f"{problem} Amounts stand per 1000 kcal."]


def _said_of(dog: dogs.LibraryDog | None, profile: Profile) -> list[str]:
    if dog is None:
        return []
    said = []
    if dog.raised is None:
        said.append(f"{dog.label} has no plan yet: the minima are the profile's own, not raised for the dog.")
    needs_growth = Profile.objects.filter(key=dog.profile_keys[0], growth=True).exists()
    if needs_growth and not profile.growth:
        said.append(f"{dog.label} is growing, pregnant or nursing: {profile} is for adults.")
    return said


def _not_for(dog: dogs.LibraryDog | None, portions: list[Portion]) -> list[str]:
    if dog is None:
        return []
    foods = {portion.food: portion.group for portion in portions}
    return [*dog.avoided(foods).values(), *dog.blocked(foods)]
