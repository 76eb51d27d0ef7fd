"""Everything that the page shows on which two versions of a recipe are compared."""

from dataclasses import dataclass

from recipes import comparison, presentation, queries
from recipes.analysis import Analysis, Portion
from recipes.models import KitchenStep, Recipe, RecipeVersion, When


@dataclass(frozen=True)
class Side:
    """One of the two versions; figures None: nothing could be worked out, and `problem` says why."""

    version: RecipeVersion
    figures: presentation.Figures | None
    problem: str


@dataclass(frozen=True)
class LineRow:
    """One ingredient in words: what stands before and after, "" where it does not."""

    change: comparison.LineChange
    before: str
    after: str


@dataclass(frozen=True)
class ComparisonPage:
    """answers None: one of the two holds nothing that could be judged."""

    before: Side
    after: Side
    versions: list[RecipeVersion]
    lines: list[LineRow]
    particulars: list[comparison.ParticularChange]
    steps: list[comparison.StepChange]
    answers: list[comparison.AnswerChange] | None

    @property
    def step_changes(self) -> int:
        return sum(step.what != comparison.SAME for step in self.steps)

    @property
    def line_changes(self) -> int:
        return sum(row.change.what != comparison.SAME for row in self.lines)


def of(recipe: Recipe, of_number: str, with_number: str) -> ComparisonPage | None:
    """Numbers as they were asked for; without them the latest with the one before. None for a wrong one."""
    versions = list(recipe.versions.select_related("author", "approved_by", "recipe__profile__standard"))
    by_number = {str(version.number): version for version in versions}
    usual = [version.number for version in [*reversed(versions[:2])]] or [0]
    before = by_number.get(of_number or str(usual[0]))
    after = by_number.get(with_number or str(usual[-1]))
    if before is None or after is None:
        return None
    portions = [queries.portions_of(version) for version in (before, after)]
    analyses = [_analysis(*each) for each in zip((before, after), portions, strict=True)]
    found = [analysis for analysis, _ in analyses]
    return ComparisonPage(
        before=_side(before, *analyses[0]),
        after=_side(after, *analyses[1]),
        versions=versions,
        lines=[_line_row(change) for change in comparison.line_changes(*portions)],
        particulars=comparison.particular_changes(_particulars(before), _particulars(after)),
        steps=comparison.step_changes(_steps(before), _steps(after)),
        answers=comparison.answer_changes(*(x.judgement for x in found)) if all(found) else None,
    )


def _analysis(version: RecipeVersion, portions: list[Portion]) -> tuple[Analysis | None, str]:
    if not portions:
        return None, "There is no ingredient in it."
    try:
        return queries.analysis_of(version), ""
    except ValueError as problem:
        return None, str(problem)


def _side(version: RecipeVersion, analysis: Analysis | None, problem: str) -> Side:
    return Side(version, presentation.figures(analysis) if analysis else None, problem)


def _line_row(change: comparison.LineChange) -> LineRow:
    both = change.before is not None and change.after is not None
    rounded = both and change.before.step_g != change.after.step_g
    return LineRow(change, _in_words(change.before, rounded), _in_words(change.after, rounded))


def _in_words(portion: Portion | None, rounded: bool) -> str:
    """Such as `0.9 g (2 tablets), cooled batch; chopped fine`. rounded: say its rounding step as well."""
    if portion is None:
        return ""
    measure = presentation.amount_in_words(portion)
    measured = f" ({measure})" if measure else ""
    step = f", rounded to {portion.step_g:g} g" if rounded else ""
    note = f"; {portion.note}" if portion.note else ""
    return f"{presentation.as_written(portion.grams)} g{measured}, {When(portion.when).label}{step}{note}"


def _particulars(version: RecipeVersion) -> dict[str, str]:
    weighed = version.cooked_weight_g
    return {
        "Method": version.get_method_display(),
        "Vessel": version.vessel,
        "Water added": f"{presentation.as_written(version.added_water_g)} g" if version.added_water_g else "",
        "Cooked weight, weighed": f"{presentation.as_written(weighed)} g" if weighed else "",
    }


def _steps(version: RecipeVersion) -> list[str]:
    return [_step(step) for step in version.kitchen_steps.all()]


def _step(step: KitchenStep) -> str:
    minutes = "" if step.minutes is None else f"{step.minutes} min"
    reaches = presentation.temperature(step.temperature_c)
    return "; ".join(filter(None, (step.text, minutes, reaches and f"reaches {reaches} inside")))
