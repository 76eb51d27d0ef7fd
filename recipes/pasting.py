"""A pasted list beside the foods there are: what each of its lines may mean, and the lines it makes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from zlib import crc32

from nutrients import queries as nutrients
from nutrients.food_words import terms, words_of
from nutrients.models import Caution, Food, Synonym
from recipes.line_forms import foods_called, scale_of
from recipes.lines import MOST_LINES, Typed
from recipes.models import When
from recipes.obstacles import forbidden
from recipes.pasted import Match, PastedLine, begins, food_words, head, ranked, read
from recipes.pasted_amounts import Measured, measured
from recipes.weighing import Scale

TEXT, READ = "pasted", "pasted-read"
MOST_READ = 500  # lines; a list that goes on after these is no recipe


@dataclass(frozen=True)
class Offer:
    """A food or a supplement that a line may mean, and how much of it that would be."""

    food: str
    is_supplement: bool
    measured: Measured
    missed: tuple[str, ...]
    chosen: bool


@dataclass(frozen=True)
class Reviewed:
    """A pasted line with what it may mean.

    refusal: why nothing of the kind may go in; open: no food was chosen yet, by the program or by hand.
    """

    field: str
    line: PastedLine
    offers: tuple[Offer, ...]
    refusal: str
    open: bool

    @property
    def chosen(self) -> Offer | None:
        return next((offer for offer in self.offers if offer.chosen), None)

    @property
    def to_check(self) -> list[str]:
        """What was not understood or had to be guessed, in sentences."""
        if self.refusal:
            return [self.refusal]
        chosen, said = self.chosen, [self.line.unclear] if self.line.unclear else []
        if not self.offers:
            return [*said, f"No food is called “{food_words(self.line)}”."]
        if chosen is None:
            return [
                *said,
                "It may mean more than one food: choose which." if self.open else "It goes in as typed.",
            ]
        if chosen.missed:
            said.append(f"Not in its name: {', '.join(chosen.missed)}.")
        if chosen.measured.said and chosen.measured.said not in said:
            said.append(chosen.measured.said)
        return said

    def typed(self) -> dict[str, str]:
        """The line as the recipe's form takes it; what no food was found for is kept as it was typed."""
        chosen, line = self.chosen, self.line
        if chosen is None:
            typed = {"food": line.words or line.text, "amount": line.amount, "unit": line.unit}
        else:
            typed = {"food": chosen.food, "amount": chosen.measured.amount, "unit": chosen.measured.unit}
            if chosen.is_supplement:
                typed["when"] = When.COOLED_BATCH  # heat spares it there, and a list does not say
        kept = line.text if line.unclear else "; ".join(filter(None, (line.note, self._loose_words())))
        return typed | {"note": kept}

    def _loose_words(self) -> str:
        return ", ".join(self.chosen.missed) if self.chosen else ""


@dataclass(frozen=True)
class PastedList:
    """The text as it was pasted, with its lines once they were read. problem: why they are not taken over."""

    text: str = ""
    lines: tuple[Reviewed, ...] = ()
    problem: str = ""

    @property
    def mark(self) -> str:
        """Stands for the text, so that what was chosen is known to be of this text."""
        return _mark(self.text)

    @property
    def to_check(self) -> int:
        return sum(bool(line.to_check) for line in self.lines)


def of_form(data: Mapping[str, str]) -> PastedList:
    """The list in a form that was sent, with what was chosen for its lines so far."""
    text = data.get(TEXT, "").replace("\x00", "")
    if not text.strip():
        return PastedList()
    lines = read(text)
    if len(lines) > MOST_READ:
        return PastedList(text, problem=f"These are {len(lines)} lines: a recipe holds at most {MOST_LINES}.")
    return PastedList(text, tuple(reviewed(lines, data)))


def taken(typed: list[Typed], data: Mapping[str, str]) -> tuple[list[Typed], PastedList]:
    """The lines of the form with those of the list behind them, and what is left of the list.

    A list that changed since it was read, or that does not fit, stays to be looked at; nothing is taken then.
    """
    pasted = of_form(data)
    if pasted.problem or pasted.mark != data.get(READ, ""):
        return typed, pasted
    filled = [line for line in typed if line.get("food") or line.get("amount") or line.get("note")]
    more = [line.typed() for line in pasted.lines]
    if len(filled) + len(more) > MOST_LINES:
        said = (
            f"{len(filled)} lines and these {len(more)} are more than the {MOST_LINES} that a recipe holds."
        )
        return typed, PastedList(pasted.text, pasted.lines, said)
    return [*filled, *more], PastedList()


def _mark(text: str) -> str:
    return f"{crc32(text.replace(chr(13), '').strip().encode()):08x}"


def reviewed(lines: Sequence[PastedLine], choices: Mapping[str, str]) -> list[Reviewed]:
    """Every line of a list. choices: what was chosen, by `Reviewed.field`."""
    foods = list(Food.objects.filter(discontinued=False).values_list("name", "search_text"))
    synonyms = list(Synonym.objects.values_list("word", "called"))
    refused = nutrients.toxic_cautions({line.words for line in lines})
    matches = [_matches(line, foods, synonyms) if line.words not in refused else [] for line in lines]
    named = foods_called(match.food for found in matches for match in found)
    scales = {food.name: scale_of(food) for food in named.values()}
    return [
        _review(line, found, scales, choices, refused.get(line.words))
        for line, found in zip(lines, matches, strict=True)
    ]


def _matches(line: PastedLine, foods: Sequence[tuple[str, str]], synonyms) -> list[Match]:
    """The foods that a line may mean; words that no food answers to are left out of the comparison."""
    wanted = terms(food_words(line), synonyms)
    known = [term for term in wanted if any(begins(needles, text) for _, text in foods for needles in term)]
    unknown = tuple(" ".join(term[0]) for term in wanted if term not in known)
    found = ranked(known, foods) if known else []
    return [Match(match.food, match.rank, (*match.missed, *unknown)) for match in found]


def _review(
    line: PastedLine,
    found: list[Match],
    scales: dict[str, Scale],
    choices: Mapping[str, str],
    caution: Caution | None,
) -> Reviewed:
    """A line with the foods it may mean; of those that answer alike the measurable ones stand first."""
    found = [match for match in found if match.food in scales]
    amounts = {match.food: measured(line, scales[match.food]) for match in found}
    ranks = {match.food: (match.rank, amounts[match.food].grams is None) for match in found}
    found.sort(key=lambda match: ranks[match.food])
    field = f"{TEXT}-{_mark(line.text)}"
    chosen = choices.get(field)
    if chosen not in ("", *amounts):
        chosen = _clear(line, found, ranks)
    offers = tuple(
        Offer(
            match.food,
            bool(scales[match.food].dose_unit),
            amounts[match.food],
            _missed(match, amounts[match.food]),
            match.food == chosen,
        )
        for match in found
    )
    return Reviewed(field, line, offers, forbidden(caution) if caution else "", open=chosen is None)


def _clear(line: PastedLine, found: list[Match], ranks: Mapping[str, tuple]) -> str | None:
    """The food that a line clearly means: nearer than every other, and called by what the line calls it."""
    if not found or head(words_of(food_words(line))) in found[0].missed:
        return None
    alike = [match for match in found if ranks[match.food] == ranks[found[0].food]]
    return found[0].food if len(alike) == 1 else None


def _missed(match: Match, amount: Measured) -> tuple[str, ...]:
    """The words that neither the food nor its measure answers to."""
    return tuple(word for word in match.missed if word not in amount.unit)
