"""Renewing kept figures: they equal an analysis, what is unknown stays so, and no change is lost."""

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from nutrients.models import FoodValue, Limit, Retention
from recipes import presentation, queries, renewal, renewal_runs, services
from recipes.models import FiguresRenewal, Ingredient, RecipeVersion, VersionAnswers, VersionFigures
from tests import cast

pytestmark = pytest.mark.django_db
TURKEY, RICE = "Ground turkey, 93% lean, raw", "White rice, long-grain, unenriched, dry"
LIST, PAGE = reverse("recipes:recipe-list"), reverse("recipes:figures-renewal")


@pytest.fixture
def version():
    return cast.make_recipe(amounts={TURKEY: 500, RICE: 200})


@pytest.fixture
def no_threads(monkeypatch):
    """What would go on in the background is only begun."""
    begun = []
    monkeypatch.setattr(renewal_runs, "in_background", begun.append)
    return begun


def of(version):
    return VersionFigures.objects.get(version=version)


def per_1000_kcal(version, key):
    analysis = queries.analysis_of(version)
    return analysis.composition.totals[key] * 1000 / analysis.energy.kcal


class TestRenew:
    def test_figures_are_those_of_an_analysis(self, version):
        renewal.renew([version.pk])
        kept, shown = of(version), presentation.figures(queries.analysis_of(version))
        assert kept.fresh
        assert kept.kcal_per_100g == pytest.approx(shown.kcal_per_100g)
        assert kept.fat_percent == pytest.approx(shown.energy[1].percent)
        assert kept.phosphorus == pytest.approx(per_1000_kcal(version, "phosphorus"))
        assert VersionAnswers.objects.get(version=version, profile__key="aafco-adult").counts == shown.counts

    def test_every_profile_is_answered(self, version):
        renewal.renew([version.pk])
        assert version.answers.count() > 5
        for answers in version.answers.all():
            against = presentation.figures(queries.analysis_of(version, answers.profile))
            assert answers.counts == against.counts

    def test_a_changed_value(self, version):
        renewal.renew([version.pk])
        before = of(version).calcium
        value = FoodValue.objects.get(food__name=RICE, nutrient__key="calcium")
        value.per_100g += 300
        value.save()
        assert not of(version).fresh
        renewal.renew([version.pk])
        assert of(version).calcium == pytest.approx(per_1000_kcal(version, "calcium"))
        assert of(version).calcium > before + 100  # 200 g rice bring 600 mg more in some 1,500 kcal

    def test_a_changed_limit(self, version):
        renewal.renew([version.pk])
        answers = version.answers.get(profile__key="aafco-adult")
        limit = Limit.objects.get(profile__key="aafco-adult", nutrient__key="protein")
        limit.minimum = 500  # grams per 1000 kcal are more than any food holds
        limit.save()
        renewal.renew([version.pk])
        since = version.answers.get(profile__key="aafco-adult")
        assert (since.below, since.meets) == (answers.below + 1, answers.meets - 1)

    def test_a_changed_factor(self):
        version = cast.make_recipe(amounts={TURKEY: 500}, method="baked")
        renewal.renew([version.pk])
        before = of(version).copper
        group = version.ingredients.get().food.retention_group
        factor, _ = Retention.objects.get_or_create(
            food_group=group, method="baked", nutrient__key="copper",
            defaults={
                "nutrient": FoodValue.objects.filter(nutrient__key="copper").first().nutrient,
                "percent": 100, "source": "invented", "certainty": "memory",
            },
        )  # fmt: skip
        ratio, factor.percent = 0.5 * 100 / factor.percent, 50
        factor.save()
        assert not of(version).fresh
        renewal.renew([version.pk])
        assert of(version).copper == pytest.approx(before * ratio)

    def test_unknown_stays_unknown(self, version):
        FoodValue.objects.get(food__name=RICE, nutrient__key="copper").delete()
        renewal.renew([version.pk])
        assert of(version).copper is None
        assert of(version).calcium is not None

    def test_without_the_energy_of_a_food_nothing_is_known(self, version):
        FoodValue.objects.get(food__name=RICE, nutrient__key="fat").delete()
        renewal.renew([version.pk])
        kept = of(version)
        assert kept.fresh
        assert kept.has_energy
        assert (kept.kcal_per_100g, kept.protein_percent, kept.calcium) == (None, None, None)

    def test_nothing_whose_energy_counts(self):
        version = cast.make_recipe(amounts={"Salt, plain": 5})
        renewal.renew([version.pk])
        assert of(version).fresh
        assert not of(version).has_energy
        assert not version.answers.exists()

    def test_a_change_while_they_are_worked_out_is_not_lost(self, version, monkeypatch):
        worked_out = renewal.figures_of

        def meanwhile(*given):
            FoodValue.objects.filter(food__name=RICE).first().save()
            return worked_out(*given)

        monkeypatch.setattr(renewal, "figures_of", meanwhile)
        renewal.renew([version.pk])
        assert not of(version).fresh

    def test_as_many_queries_for_many_versions_as_for_one(self, version, django_assert_max_num_queries):
        pks = [cast.make_recipe(f"Pot {n}", {TURKEY: 100 + n, RICE: 50}).pk for n in range(20)]
        with django_assert_max_num_queries(60):
            renewal.renew(pks)


class TestSaving:
    def test_a_saved_recipe_has_fresh_figures(self, version, staff, django_capture_on_commit_callbacks):
        lines = [Ingredient(food=line.food, grams=line.grams * 2) for line in version.ingredients.all()]
        with django_capture_on_commit_callbacks(execute=True):
            saved = services.save_version(
                recipe=version.recipe, particulars={"method": "baked"}, ingredients=lines[:1],
                kitchen_steps=[], author=staff,
            )  # fmt: skip
        assert of(saved).fresh
        assert of(saved).fat == pytest.approx(per_1000_kcal(saved, "fat"))


class TestAll:
    def test_everything_anew_in_turns(self, version, monkeypatch):
        monkeypatch.setattr(renewal, "PER_TURN", 2)
        for number in range(4):
            cast.make_recipe(f"Pot {number}")
        VersionFigures.objects.filter(version=version).delete()  # written before figures were kept
        said = []
        assert renewal.renew_all(lambda done, left: said.append((done, left))) == 5
        assert said == [(2, 3), (4, 1), (5, 0)]
        assert not VersionFigures.objects.stale().exists()

    def test_the_command(self, version, capsys):
        call_command("renew_figures")
        assert "1 version renewed." in capsys.readouterr().out
        call_command("renew_figures", stale=True)
        assert "0 versions renewed." in capsys.readouterr().out


class TestReading:
    def test_few_are_renewed_first(self, signed_in, version):
        library = signed_in.get(LIST).context["library"]
        assert library.renewal is None
        assert library.rows[0].figures == of(version)

    def test_of_many_no_stale_figure_is_shown(
        self, signed_in, version, no_threads, monkeypatch, django_capture_on_commit_callbacks
    ):
        renewal.renew([version.pk])
        monkeypatch.setattr(renewal, "AT_ONCE", 0)
        RecipeVersion.objects.get().save()
        with django_capture_on_commit_callbacks(execute=True):
            page = signed_in.get(LIST)
        library = page.context["library"]
        assert no_threads == [library.renewal.pk]
        assert (library.rows[0].figures, library.rows[0].renewing) == (None, True)
        assert "Its figures are being renewed." in page.content.decode()
        csv = signed_in.get(reverse("recipes:recipe-csv")).content.decode()
        assert "figures are being renewed" in csv

    def test_one_renewal_at_a_time(self, version, no_threads):
        assert renewal_runs.start() == renewal_runs.start()
        assert FiguresRenewal.objects.count() == 1

    def test_one_that_was_cut_short_is_begun_again(self, version, no_threads):
        first = renewal_runs.start()
        FiguresRenewal.objects.update(seen_at=timezone.now() - renewal_runs.SILENT_FOR * 2)
        assert renewal_runs.start() != first
        first.refresh_from_db()
        assert first.state == "interrupted"


class TestInTheBackground:
    def test_it_says_how_far_it_is_and_that_it_is_done(self, version, no_threads):
        run = renewal_runs.start()
        renewal_runs.carry_out(run.pk)
        run.refresh_from_db()
        assert (run.state, run.renewed, run.percent) == ("done", 1, 100)
        assert of(version).fresh

    def test_a_failure_is_said(self, version, no_threads, monkeypatch):
        monkeypatch.setattr(renewal, "figures_of", lambda *_: 1 / 0)
        run = renewal_runs.start()
        renewal_runs.carry_out(run.pk)
        run.refresh_from_db()
        assert (run.state, run.message) == ("failed", renewal_runs.UNEXPECTED)
        assert not of(version).fresh


class TestPage:
    def test_what_is_fresh_and_what_is_not(self, signed_in, version):
        assert "To be renewed" in signed_in.get(PAGE).content.decode()
        renewal.renew([version.pk])
        assert "Up to date" in signed_in.get(PAGE).content.decode()

    def test_everything_anew(self, client, staff, version, no_threads, django_capture_on_commit_callbacks):
        renewal.renew([version.pk])
        client.force_login(staff)
        with django_capture_on_commit_callbacks(execute=True):
            assert client.post(PAGE).url == PAGE
        assert len(no_threads) == 1
        assert not of(version).fresh
        page = client.get(PAGE, headers={"HX-Request": "true"}).content.decode()
        assert "<progress" in page
        assert "<html" not in page

    def test_a_viewer_looks_only(self, client, viewer, version):
        client.force_login(viewer)
        assert "Work every figure out anew" not in client.get(PAGE).content.decode()
        assert client.post(PAGE).status_code == 403
