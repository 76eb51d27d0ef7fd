"""What follows from a reformulation: the proposal beside the present amounts, judged before and after."""

from collections.abc import Collection, Iterable, Sequence
from copy import copy
from dataclasses import dataclass, replace

from nutrients import queries as nutrients
from nutrients.adequacy import counts
from nutrients.adequacy_table import AdequacyRow, adequacy_rows
from nutrients.models import Caution, Profile
from recipes import obstacles, presentation, queries
from recipes.analysis import Analysis, Portion
from recipes.models import Ingredient, RecipeVersion, When
from recipes.presentation import amount_in_words, as_written
from recipes.reformulate_forms import dose_unit, grams_of_one
from recipes.reformulate_offer import Offer, OfferedLine
from recipes.reformulate_start import Start, foods_by_key

AS_IT_IS = "as it is"


@dataclass(frozen=True)
class LineRow:
    """One line of the proposal, in words; taken: whether it is ticked to be accepted.

    The measures are what an owner would count out beside the grams, "" when there is none.
    """

    key: str
    food: str
    when: str
    now: str
    now_measure: str
    proposed: str
    proposed_measure: str
    change: str
    percent: str
    why: str
    changed: bool
    taken: bool


@dataclass(frozen=True)
class LimitRow:
    """A limit that is open before or after."""

    before: AdequacyRow
    after: AdequacyRow


@dataclass(frozen=True)
class Judged:
    """One profile before and after; rows: what is open in one of them, what stays open first."""

    profile: Profile
    before: str
    after: str
    open_before: int
    open_after: int
    rows: list[LimitRow]


@dataclass(frozen=True)
class Mixture:
    """The recipe with what is ticked. cautions: those that the present recipe does not have."""

    ingredients: list[Ingredient]
    taken: tuple[str, ...]
    before: presentation.Figures | None
    after: presentation.Figures | None
    judged: list[Judged]
    whole: bool
    cautions: list[tuple[str, Caution]]
    problem: str = ""

    @property
    def open(self) -> int:
        return sum(each.open_after for each in self.judged)


def line_rows(offer: Offer, taken: Collection[str]) -> list[LineRow]:
    """Every line that is in the recipe before or after. Raises ValueError when a food is gone."""
    foods = _foods(offer.lines)
    whens = dict(When.choices)
    rows = []
    for line in offer.lines:
        if not line.before_g and not line.after_g:
            continue
        portion = queries.portion(Ingredient(food=foods[line.food], grams=line.after_g, when=line.when))
        change, percent = change_in_words(portion, line.before_g, line.after_g)
        rows.append(
            LineRow(
                key=line.key,
                food=portion.food,
                when=whens[line.when],
                now=_grams(line.before_g),
                now_measure=_measure(portion, line.before_g),
                proposed=_grams(line.after_g),
                proposed_measure=_measure(portion, line.after_g),
                change=change,
                percent=percent,
                why=line.why,
                changed=line.changed,
                taken=line.key in taken,
            )
        )
    return rows


def _foods(lines: Iterable[OfferedLine]):
    wanted = {line.food for line in lines}
    foods = foods_by_key(wanted)
    if wanted - foods.keys():
        raise ValueError("A food of this proposal was deleted meanwhile: work it out again.")
    return foods


def _grams(grams: float) -> str:
    return f"{as_written(grams)} g" if grams else ""


def _measure(portion: Portion, grams: float) -> str:
    return amount_in_words(replace(portion, grams=grams)) if grams else ""


def change_in_words(portion: Portion, before_g: float, after_g: float) -> tuple[str, str]:
    """Such as ("70 g less", "−14 %"); a supplement's in its dose units."""
    if before_g == after_g:
        return AS_IT_IS, ""
    if not before_g:
        return "new", ""
    if not after_g:
        return "left out", ""
    unit, way = dose_unit(portion), "more" if after_g > before_g else "less"
    off = abs(after_g - before_g) / grams_of_one(portion)
    sign = "+" if after_g > before_g else "−"
    percent = 100 * abs(after_g / before_g - 1)
    shown = f"{percent:,.0f}" if percent >= 1 else f"{percent:.1f}"
    return f"{as_written(round(off, 4))} {unit} {way}", f"{sign}{shown} %"


def mixed(start: Start, offer: Offer, taken: Collection[str]) -> list[Ingredient]:
    """The start's lines, those that are taken in their proposed grams; what comes to nothing is left out.

    A line that stays keeps its note and rounding step. Raises ValueError when a food is gone.
    """
    foods = _foods(offer.lines)
    present = {f"{line.food_id}-{line.when}": line for line in start.ingredients}
    ingredients = []
    for line in offer.lines:
        grams = line.after_g if line.key in taken else line.before_g
        if grams:
            kept = present.get(line.key)
            own = {"step_g": kept.step_g, "note": kept.note} if kept else {}
            ingredients.append(Ingredient(food=foods[line.food], grams=grams, when=line.when, **own))
    return ingredients


def version_with(version: RecipeVersion, ingredients: Sequence[Ingredient]) -> RecipeVersion:
    """The version, unsaved, for these lines: for others than its own the cooked weight does not hold."""
    stored = [(line.food_id, line.when, line.grams) for line in version.ingredients.all()]
    if [(line.food_id, line.when, line.grams) for line in ingredients] == stored:
        return version
    changed = copy(version)
    changed.cooked_weight_g = None
    return changed


def mixture(start: Start, offer: Offer, taken: Collection[str]) -> Mixture:
    """The recipe with the lines that are taken, judged as it would be stored, beside the start."""
    keys = tuple(line.key for line in offer.changed() if line.key in taken)
    ingredients = mixed(start, offer, keys)
    known = {profile.key: profile for profile in nutrients.feeding_profiles()}
    profiles = [known[key] for key in offer.profiles if key in known]
    before = analyses(start.version, start.ingredients, profiles)
    try:
        after, problem = analyses(start.version, ingredients, profiles), ""
    except ValueError as found:
        after, problem = [], str(found)
    return Mixture(
        ingredients=ingredients,
        taken=keys,
        before=presentation.figures(before[0]) if before else None,
        after=presentation.figures(after[0]) if after else None,
        judged=[_judged(*each) for each in zip(profiles, before, after, strict=True)] if after else [],
        whole=len(keys) == len(offer.changed()),
        cautions=_new_cautions(start, ingredients),
        problem=problem,
    )


def analyses(
    version: RecipeVersion, ingredients: Sequence[Ingredient], profiles: Sequence[Profile]
) -> list[Analysis]:
    """One per profile. Raises ValueError when the ingredients hold no energy."""
    portions = [queries.portion(line) for line in ingredients]
    given, judged = queries.reference(portions), version_with(version, ingredients)
    return [given.analysis(judged, portions, nutrients.profile_limits(profile)) for profile in profiles]


def _judged(profile: Profile, before: Analysis, after: Analysis) -> Judged:
    pairs = zip(
        adequacy_rows(before.judgement, before.estimated),
        adequacy_rows(after.judgement, after.estimated),
        strict=True,
    )
    rows = [LimitRow(was, now) for was, now in pairs if was.open or now.open]
    return Judged(
        profile=profile,
        before=presentation.verdict(counts(before.judgement)),
        after=presentation.verdict(counts(after.judgement)),
        open_before=sum(row.before.open for row in rows),
        open_after=sum(row.after.open for row in rows),
        rows=sorted(rows, key=lambda row: not row.after.open),
    )


def _new_cautions(start: Start, ingredients: Sequence[Ingredient]) -> list[tuple[str, Caution]]:
    method = start.version.method
    known = obstacles.cautions([queries.portion(line) for line in start.ingredients], method)
    found = obstacles.cautions([queries.portion(line) for line in ingredients], method)
    return [pair for pair in found if pair not in known]
