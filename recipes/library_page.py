"""A page of the library: what a search finds, what it could not judge, and what does not fit a dog."""

from collections import Counter
from dataclasses import dataclass
from functools import cached_property

from django.core.paginator import Page, Paginator
from django.http import QueryDict

from recipes import renewal_runs
from recipes.listing import RecipeRow, rows
from recipes.models import FiguresRenewal, Recipe
from recipes.queries import tags_of
from recipes.search import Search, foods_of, reasons_against
from recipes.search_forms import FOUND, GRID, LEFT_OUT, UNDECIDED, RecipeSearchForm

PER_PAGE = 24
TAGS_OFFERED = 12


@dataclass(frozen=True)
class LibraryPage:
    """show: which of the three lists `page` is a page of. renewal: what is being renewed; None: all fresh."""

    form: RecipeSearchForm
    search: Search
    show: str
    page: Page
    rows: list[RecipeRow]
    renewal: FiguresRenewal | None

    @property
    def grid(self) -> bool:
        return self.form.asked.get("view") == GRID

    @cached_property
    def undecided(self) -> int:
        """How many recipes could not be judged, unless they are what is shown."""
        return 0 if self.show == UNDECIDED else self.search.undecided.count()

    @cached_property
    def left_out(self) -> int:
        return 0 if self.show == LEFT_OUT else self.search.left_out.count()

    @cached_property
    def tags(self) -> list[str]:
        """The tags that most recipes have, for the page to offer."""
        counted = Counter(
            tag for text in Recipe.objects.values_list("tags", flat=True) for tag in tags_of(text)
        )
        return [tag for tag, _ in counted.most_common(TAGS_OFFERED)]


def of(asked: QueryDict) -> LibraryPage:
    renewal = renewal_runs.keep_up()
    form = RecipeSearchForm(asked)
    search, show = form.search(), asked.get("show", FOUND)
    lists = {FOUND: search.found, UNDECIDED: search.undecided, LEFT_OUT: search.left_out}
    show = show if show in lists else FOUND
    page = Paginator(lists[show], PER_PAGE).get_page(asked.get("page"))
    page.object_list = list(page.object_list)
    against = {}
    if show == LEFT_OUT and search.dog:
        foods = dict(foods_of([version.pk for version in page.object_list]))
        against = {
            version.pk: reasons_against(search.dog, version, foods.get(version.pk, {}))
            for version in page.object_list
        }
    listed = rows(page.object_list, form.figures_asked(search), search.met and search.met.profile, against)
    return LibraryPage(form, search, show, page, listed, renewal)
