"""The search of the library: what it finds, and what it says it could not judge."""

import pytest

from nutrients.models import Profile
from recipes.dogs import LibraryDog
from recipes.models import Recipe, VersionAnswers, VersionFigures
from recipes.search import Band, Met, Search, foods_of, reasons_against
from tests import cast

pytestmark = pytest.mark.django_db
TURKEY, RICE, LIVER = (
    "Ground turkey, 93% lean, raw",
    "White rice, long-grain, unenriched, dry",
    "Beef liver, raw",
)


def make(title, foods=(TURKEY,), number=1, profile="aafco-adult", **figures):
    """A recipe with kept figures, given as they are; what is not given is unknown."""
    version = cast.make_recipe(title, dict.fromkeys(foods, 100.0), profile_key=profile)
    keep(version, **figures)
    return version


def keep(version, fresh=True, **figures):
    kept = {"due": 5, "done": 5 if fresh else 4, "has_energy": True} | figures
    VersionFigures.objects.filter(version=version).update(**kept)


def answer(version, profile, meets=40, below=0, above=0, cannot_confirm=0):
    VersionAnswers.objects.create(
        version=version, profile=Profile.objects.get(key=profile),
        meets=meets, below=below, above=above, cannot_confirm=cannot_confirm,
    )  # fmt: skip


def titles(versions):
    return [version.recipe.title for version in versions]


class TestFigures:
    @pytest.fixture(autouse=True)
    def library(self):
        make("Lean", fat=25.0, phosphorus=1400.0)
        make("Rich", fat=60.0, phosphorus=1400.0)
        make("On the edge", fat=30.0, phosphorus=1500.0)
        make("Fat unknown", phosphorus=1400.0)
        make("Fat and phosphorus unknown")
        make("Fat unknown, too much phosphorus", phosphorus=1600.0)
        make("Being renewed", fat=10.0, phosphorus=1000.0)
        keep(Recipe.objects.get(title="Being renewed").latest(), fresh=False)

    def test_at_most_is_with_the_edge(self):
        assert titles(Search(bands=(Band("fat", most=30),)).found) == ["Lean", "On the edge"]

    def test_at_least_and_at_most(self):
        assert titles(Search(bands=(Band("fat", least=30, most=60),)).found) == ["On the edge", "Rich"]

    def test_what_is_unknown_or_stale_is_neither_in_nor_out(self):
        search = Search(bands=(Band("fat", most=30),))
        unknown = [
            "Being renewed",
            "Fat and phosphorus unknown",
            "Fat unknown",
            "Fat unknown, too much phosphorus",
        ]
        assert titles(search.undecided) == unknown

    def test_what_is_known_to_fail_is_out_whatever_is_unknown_beside_it(self):
        search = Search(bands=(Band("fat", most=30), Band("phosphorus", most=1500)))
        assert titles(search.found) == ["Lean", "On the edge"]
        assert titles(search.undecided) == ["Being renewed", "Fat and phosphorus unknown", "Fat unknown"]

    def test_a_version_without_any_kept_figures_is_undecided(self):
        bare = cast.make_recipe("Bare")
        VersionFigures.objects.filter(version=bare).delete()
        assert "Bare" in titles(Search(bands=(Band("fat", most=30),)).undecided)

    def test_nothing_is_undecided_when_no_figure_is_asked_for(self):
        search = Search(matching={"word": "rich"})
        assert (titles(search.found), titles(search.undecided)) == (["Rich"], [])

    @pytest.mark.parametrize(
        ("order", "first", "last"),
        [
            ("fat", "Lean", "Fat unknown, too much phosphorus"),
            ("-fat", "Rich", "Fat unknown, too much phosphorus"),
        ],
    )
    def test_unknown_and_stale_come_last_in_either_order(self, order, first, last):
        found = titles(Search(order=order).found)
        assert (found[0], found[-1]) == (first, last)
        assert found.index("Being renewed") > found.index("On the edge")


class TestProfiles:
    @pytest.fixture(autouse=True)
    def library(self):
        answer(make("All met"), "nrc-adult")
        answer(make("Gaps"), "nrc-adult", cannot_confirm=2)
        answer(make("Short"), "nrc-adult", below=1, cannot_confirm=2)
        answer(make("Too much"), "nrc-adult", above=1)
        answer(make("Met elsewhere"), "aafco-adult")

    def met(self, **how):
        return Search(met=Met(Profile.objects.get(key="nrc-adult"), **how))

    def test_nothing_open(self):
        assert titles(self.met().found) == ["All met"]
        assert titles(self.met().undecided) == ["Gaps", "Met elsewhere"]

    def test_nothing_below_or_above_though_data_may_be_missing(self):
        assert titles(self.met(with_gaps=True).found) == ["All met", "Gaps"]
        assert titles(self.met(with_gaps=True).undecided) == ["Met elsewhere"]

    def test_fewest_open_limits_of_its_own_profile_first(self):
        for title, open_ in (("All met", 3), ("Gaps", 1), ("Short", 2)):
            VersionAnswers.objects.filter(version__recipe__title=title).delete()
            answer(Recipe.objects.get(title=title).latest(), "aafco-adult", below=1, cannot_confirm=open_ - 1)
        assert titles(Search(order="open").found) == ["Met elsewhere", "Gaps", "Short", "All met", "Too much"]


class TestFoods:
    @pytest.fixture(autouse=True)
    def library(self):
        make("Turkey pot")
        make("Turkey and rice", foods=(TURKEY, RICE))
        make("Liver and rice", foods=(LIVER, RICE))

    @pytest.mark.parametrize(
        ("asked", "found"),
        [
            ({"holding": ("turkey",)}, ["Turkey and rice", "Turkey pot"]),
            ({"holding": ("rice long-grain", "liver")}, ["Liver and rice"]),
            ({"holding": ("liver rice",)}, []),  # no one food is called so
            ({"without": ("rice",)}, ["Turkey pot"]),
            ({"without": ("rice", "turkey")}, []),
            ({"without": ("organ",)}, ["Turkey and rice", "Turkey pot"]),  # a group
            ({"holding": ("rice",), "without": ("liver",)}, ["Turkey and rice"]),
        ],
    )
    def test_with_and_without(self, asked, found):
        assert titles(Search(**asked).found) == found

    def test_only_the_latest_version_counts(self, practitioner):
        first = make("Changed", foods=(LIVER,))
        first.recipe.versions.create(number=2, author=practitioner)
        assert "Changed" not in titles(Search(holding=("liver",)).found)
        assert [v.number for v in Search(matching={"word": "changed"}).found] == [2]


class TestDogs:
    dog = LibraryDog(
        pk=1, label="Moss", kcal_per_day=None, weight_kg=None, profile_keys=("aafco-adult",),
        avoided=lambda foods: {food: f"{food}: itches." for food in foods if "rice" in food},
        blocked=lambda foods: ["No liver for Moss."] if LIVER in foods else [],
    )  # fmt: skip

    @pytest.fixture(autouse=True)
    def library(self):
        make("Fits")
        make("For puppies", profile="aafco-growth")
        make("With rice", foods=(TURKEY, RICE))
        make("With liver", foods=(LIVER,))
        make("All wrong", foods=(LIVER, RICE), profile="aafco-growth")

    def test_what_fits_and_what_is_left_out(self):
        search = Search(dog=self.dog)
        assert titles(search.found) == ["Fits"]
        assert titles(search.left_out) == ["All wrong", "For puppies", "With liver", "With rice"]

    def test_left_out_is_only_what_is_like_the_rest_of_the_search(self):
        assert titles(Search(dog=self.dog, without=("rice",)).left_out) == ["For puppies", "With liver"]
        assert titles(Search(matching={"word": "rice"}).left_out) == []

    def test_undecided_is_only_what_may_fit(self):
        assert titles(Search(dog=self.dog, bands=(Band("fat", most=30),)).undecided) == ["Fits"]

    def test_every_reason_is_said(self):
        version = Recipe.objects.get(title="All wrong").latest()
        ((pk, foods),) = foods_of([version.pk])
        assert pk == version.pk
        assert reasons_against(self.dog, version, foods) == [
            "It is meant for AAFCO growth & reproduction, another life stage.",
            f"{RICE}: itches.",
            "No liver for Moss.",
        ]


def test_newest_first():
    make("Older")
    make("Newer")
    assert titles(Search(order="newest").found) == ["Newer", "Older"]
