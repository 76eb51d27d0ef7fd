"""The page of a reformulation put together: what is asked, the proposal, and what is ticked of it."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from django.utils.datastructures import MultiValueDict

from recipes import presentation
from recipes.analysis import Analysis
from recipes.models import RecipeVersion
from recipes.reformulate.problem import KCAL_KEPT
from recipes.reformulate_acceptance import LONGEST_WORDS
from recipes.reformulate_forms import BANDS, Asked, BandFields, asked
from recipes.reformulate_offer import Offer, as_text, worked_out
from recipes.reformulate_page import LineRow, Mixture, analyses, line_rows, mixture
from recipes.reformulate_rows import filled_in
from recipes.reformulate_start import Start
from recipes.services import CHANGED_MEANWHILE, fingerprint


@dataclass
class Worktable:
    """problems: (id of the field, what is wrong with it). notice: what else stands in the way.

    offer None: nothing is proposed, and problems or the notice say why.
    """

    start: Start
    present: Analysis
    asked: Asked
    words: str = ""
    problems: list[tuple[str, str]] = field(default_factory=list)
    notice: str = ""
    offer: Offer | None = None
    lines: list[LineRow] = field(default_factory=list)
    mixture: Mixture | None = None

    @property
    def version(self) -> RecipeVersion:
        return self.start.version

    @property
    def is_stale(self) -> bool:
        """Did the recipe change after the page was opened?"""
        return self.asked.seen != fingerprint(self.version)

    @property
    def proposal(self) -> str:
        """The offer as it goes along with the page."""
        return as_text(self.offer)

    @property
    def not_needed(self) -> list[str]:
        """What may be used and is not."""
        used = {line.key for line in self.offer.lines if line.after_g}
        unused = (form for form in self.asked.rows if form.present is None and form["moves"].value())
        return [form.name for form in unused if f"{form['food'].value()}-{form['when'].value()}" not in used]

    @property
    def bands(self) -> list[BandFields]:
        return self.asked.wishes.bands(_now(self.present))

    @property
    def kcal(self) -> float:
        return self.present.energy.kcal

    @property
    def kept_percent(self) -> float:
        return 100 * KCAL_KEPT

    @property
    def line(self) -> str:
        """The page in one line, for narrow screens."""
        if not self.mixture or not self.mixture.judged:
            return "Nothing is proposed yet."
        return "; ".join(f"{each.profile}: {each.after}" for each in self.mixture.judged) + "."


def _now(present: Analysis) -> dict[str, str]:
    """What the bands are at present, in words."""
    facts = {
        key: presentation.per_1000_kcal(present, key, name, "g", 0).value.removesuffix(" per 1000 kcal")
        for key, name, _ in BANDS
    }
    energy = presentation.figures(present).energy
    shares = {part.key: f", {part.percent:.0f} % of energy" for part in energy}
    return {key: f"now {said}{shares.get(key, '')}" for key, said in facts.items()}


def present_of(start: Start) -> Analysis:
    """The start against the recipe's own profile. Raises ValueError when it holds no energy."""
    if not start.ingredients:
        raise ValueError("There is no ingredient in it yet.")
    return analyses(start.version, start.ingredients, [start.version.recipe.profile])[0]


def laid_out(start: Start, present: Analysis, data: MultiValueDict | None) -> Worktable:
    """The left side, as it was sent or, for None, as it is filled in at first."""
    if data is None:
        data = filled_in(start, present.energy.kcal)
        words = "" if start.version.approved else start.version.note[:LONGEST_WORDS]
    else:
        words = data.get("words", "")[:LONGEST_WORDS]
    table = Worktable(start, present, asked(data, start), words)
    if not table.asked.is_valid():
        table.problems = table.asked.problems()
    return table


def propose(table: Worktable) -> None:
    """Work out a proposal for what is asked, with everything of it ticked."""
    if table.problems:
        return
    if table.is_stale:
        table.notice = CHANGED_MEANWHILE
        return
    try:
        offer = worked_out(table.start, table.asked)
    except ValueError as problem:
        table.notice = str(problem)
        return
    show(table, offer, [line.key for line in offer.lines])


def show(table: Worktable, offer: Offer, taken: Sequence[str]) -> None:
    """A proposal as it was worked out, with those of its lines that are ticked, judged afresh."""
    try:
        lines, mixed = line_rows(offer, taken), mixture(table.start, offer, taken)
    except ValueError as problem:
        table.notice = str(problem)
        return
    table.offer, table.lines, table.mixture = offer, lines, mixed
