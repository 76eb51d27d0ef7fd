"""What the pages of substitutions show, read and worked out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from urllib.parse import urlencode

from nutrients.adequacy import counts
from nutrients.adequacy_table import AdequacyRow, grouped_rows
from nutrients.models import Food, Nutrient
from recipes import dogs, presentation, queries
from recipes.analysis import Portion
from recipes.differences import NEAR_EQUAL, NOT_EQUAL, Difference, Differences
from recipes.household import household
from recipes.models import RecipeVersion, Substitution
from recipes.substitution_forms import AMOUNT, MatchForm, matches
from recipes.substitution_queries import Pool, Stand, pool, setting_of, substitutions_of
from recipes.substitution_services import fingerprint, stand, to_approval
from recipes.substitutions import Candidate, Counterweight, Setting, candidates, counterweight, there_for

SHOWN, TOLD = 12, 3
TAGS = {NEAR_EQUAL: "good", NOT_EQUAL: "never"}


@dataclass(frozen=True)
class CandidateRow:
    """told: what changes most; more: the rest. link: what a form of its own begins with, as a query."""

    food: Food
    grams: str
    measure: str
    when: str
    kin: str
    verdict: str
    tag: str
    told: tuple[Difference, ...]
    more: tuple[Difference, ...]
    less: Counterweight | None
    already: bool
    link: str
    reformulate: str


@dataclass(frozen=True)
class CandidatePage:
    """rows None: nothing can be matched, and `problem` says why. hidden: how many more there are."""

    version: RecipeVersion
    replaces: Food
    grams: str
    needed: tuple[str, ...]
    form: MatchForm
    match: str
    dog: dogs.LibraryDog | None
    rows: list[CandidateRow] | None = None
    hidden: int = 0
    left_out: Mapping[str, str] = field(default_factory=dict)
    problem: str = ""


def candidates_for(version: RecipeVersion, replaces: Food, asked: Mapping[str, str]) -> CandidatePage:
    """asked: match, dog and all, as they were typed."""
    portions = queries.portions_of(version)
    lines = [line for line in portions if line.food == replaces.name]
    setting = setting_of(version, {line.food for line in portions})
    needed, problem = (), ""
    try:
        needed = there_for(portions, replaces.name, setting)
    except ValueError as found:
        problem = str(found)
    names = dict(Nutrient.objects.values_list("key", "name"))
    ways = matches(names, needed, supplement=lines[0].is_supplement)
    form = MatchForm(asked, matches=ways, dogs=dogs.choices())
    wanted = form.wanted()
    dog = dogs.dog(wanted["dog"])
    page = {
        "version": version, "replaces": replaces, "needed": tuple(names[key] for key in needed), "form": form,
        "grams": presentation.as_written(sum(line.grams for line in lines)),
        "match": dict(ways)[wanted["match"]], "dog": dog, "problem": problem,
    }  # fmt: skip
    if problem:
        return CandidatePage(**page)
    offered = pool(lines[0], wanted["match"], dog)
    try:
        found = _found(version, portions, replaces.name, offered, wanted["match"])
    except ValueError as raised:
        return CandidatePage(**page | {"problem": str(raised)})
    shown = found[0] if "all" in asked else found[0][:SHOWN]
    rows = _rows(shown, portions, found[1], wanted)
    return CandidatePage(**page, rows=rows, hidden=len(found[0]) - len(rows), left_out=offered.left_out)


def _found(
    version: RecipeVersion, portions: list[Portion], food: str, offered: Pool, match: str
) -> tuple[list[Candidate], Setting]:
    setting = setting_of(version, {line.food for line in (*portions, *offered.portions)})
    return candidates(portions, food, offered.portions, setting, match), setting


def _rows(
    shown: list[Candidate], portions: list[Portion], setting: Setting, wanted: Mapping[str, str]
) -> list[CandidateRow]:
    names = {each.swap.portion.food for each in shown} | {line.food for line in portions}
    foods = {food.name: food for food in Food.objects.filter(name__in=names)}
    return [
        _row(each, foods, counterweight(portions, each, setting, wanted["match"]), wanted["dog"])
        for each in shown
    ]


def _row(each: Candidate, foods: Mapping[str, Food], less: Counterweight | None, dog: str) -> CandidateRow:
    portion, food = each.swap.portion, foods[each.swap.portion.food]
    proposed = {"grams": f"{portion.grams:g}", "when": portion.when} | ({"dog": dog} if dog else {})
    if less:
        proposed[f"{AMOUNT}{foods[less.food].pk}"] = f"{less.after_g:g}"
    replaces = foods[each.swap.replaces]
    return CandidateRow(
        food=food,
        grams=presentation.as_written(portion.grams),
        measure=presentation.amount_in_words(portion) if portion.is_supplement
        else household(portion.grams, portion.measures),
        when=portion.when.replace("_", " "),
        kin=each.kin,
        verdict=each.found.verdict,
        tag=TAGS.get(each.found.verdict, ""),
        told=each.found.all[:TOLD],
        more=each.found.all[TOLD:],
        less=less,
        already=each.already,
        link=urlencode(proposed),
        reformulate=urlencode({"replace": replaces.pk, "by": food.pk, "grams": f"{portion.grams:g}"}),
    )  # fmt: skip


@dataclass(frozen=True)
class Judged:
    """A swap as it is typed or stored, judged as a full recipe beside the version itself."""

    stand: Stand
    verdict: str
    tag: str
    before: str
    after: str
    energy: str
    groups: list[tuple[str, list[AdequacyRow]]]
    against_approval: list[str]
    for_dog: list[str]


def judged(
    version: RecipeVersion, stands: Stand, substitution: Substitution, dog: dogs.LibraryDog | None = None
) -> Judged:
    found: Differences | None = stands.found
    against = to_approval(substitution, stands)
    said = {"stand": stands, "against_approval": against, "for_dog": _for_dog(dog, stands.portions)}
    if found is None:
        return Judged(**said, verdict="", tag="", before="", after="", energy="", groups=[])
    given = queries.reference([*stands.portions, *queries.portions_of(version)])
    limits = setting_of(version, ()).limits
    before, after = (
        given.analysis(version, portions, limits)
        for portions in (queries.portions_of(version), stands.portions)
    )
    return Judged(
        **said,
        verdict=found.verdict,
        tag=TAGS.get(found.verdict, ""),
        before=presentation.verdict(counts(before.judgement)),
        after=presentation.verdict(counts(after.judgement)),
        energy=_energy(100 * (after.energy.kcal / before.energy.kcal - 1)),
        groups=grouped_rows(after.judgement, after.estimated),
    )


def _energy(percent: float) -> str:
    more = "more" if percent > 0 else "less"
    return f"{abs(percent):.0f} % {more}" if abs(percent) >= 0.5 else "as before"


def _for_dog(dog: dogs.LibraryDog | None, portions: list[Portion]) -> list[str]:
    """What keeps a dog from a recipe, in sentences."""
    if dog is None:
        return []
    foods = {line.food: line.group for line in portions}
    return [*dog.avoided(foods).values(), *dog.blocked(foods)]


@dataclass(frozen=True)
class KeptRow:
    """A stored substitution on its recipe's page. against: why it cannot be approved, empty when it can."""

    kept: Substitution
    amount: str
    others: list[str]
    verdict: str
    tag: str
    told: tuple[Difference, ...]
    more: tuple[Difference, ...]
    against: list[str]
    seen: str


def kept_of(version: RecipeVersion) -> list[KeptRow]:
    return [_kept(each) for each in substitutions_of(version)]


def _kept(kept: Substitution) -> KeptRow:
    stands = stand(kept)
    found = stands.found or Differences((), 0.0)
    verdict = found.verdict if stands.found else ""
    return KeptRow(
        kept=kept,
        amount=presentation.as_written(kept.grams),
        others=[f"{presentation.as_written(each.grams)} g {each.food}" if each.grams else f"no {each.food}"
                for each in kept.amounts.all()],
        verdict=verdict,
        tag=TAGS.get(verdict, ""),
        told=found.all[:TOLD],
        more=found.all[TOLD:],
        against=[] if kept.approved else to_approval(kept, stands),
        seen=fingerprint(kept),
    )  # fmt: skip
