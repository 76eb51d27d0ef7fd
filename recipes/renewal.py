"""Renewing the figures that are kept with the versions; `recipes.renewal_runs` does it in the background."""

from collections.abc import Callable, Collection, Mapping
from itertools import chain

from django.db import transaction
from django.db.models import Prefetch

from nutrients import queries as nutrients
from nutrients.models import Profile
from recipes.figures import PER_1000_KCAL, Batch, Figures, figures_of
from recipes.models import Ingredient, RecipeVersion, VersionAnswers, VersionFigures
from recipes.queries import portion, reference

AT_ONCE = 60  # versions that nobody notices waiting for
PER_TURN = 500  # versions that are renewed together: what a renewal cut short may have done in vain
ROWS_PER_STATEMENT = 2000
INGREDIENTS = Ingredient.objects.prefetch_related("food__supplement", "food__measures")
# All but `due`, which others may count on meanwhile.
KEPT = tuple(field.name for field in VersionFigures._meta.fields if field.name not in ("version", "due"))

Said = Callable[[int, int], None]  # told how many versions are renewed and how many are left


def renew(versions: Collection[int]) -> None:
    """Work out the figures of these versions, by their primary keys, and keep them."""
    due = dict(VersionFigures.objects.filter(version__in=versions).values_list("version", "due"))
    found = RecipeVersion.objects.filter(pk__in=due).prefetch_related(Prefetch("ingredients", INGREDIENTS))
    batches = {version.pk: _batch(version) for version in found}
    given = reference(chain.from_iterable(batch.portions for batch in batches.values()))
    profiles = {profile.key: profile for profile in nutrients.feeding_profiles()}
    figures = figures_of(
        list(batches.values()),
        given.table,
        given.retention,
        given.negligible,
        given.yields,
        [nutrients.profile_limits(profile) for profile in profiles.values()],
    )
    _keep(dict(zip(batches, figures, strict=True)), due, profiles)


def _batch(version: RecipeVersion) -> Batch:
    portions = [portion(ingredient) for ingredient in version.ingredients.all()]
    return Batch(portions, version.method, version.added_water_g, version.cooked_weight_g)


@transaction.atomic
def _keep(
    figures: Mapping[int, Figures | None], due: Mapping[int, int], profiles: Mapping[str, Profile]
) -> None:
    """due: the changes that each version's figures know of, as it stood before they were worked out."""
    rows = [_row(pk, due[pk], each) for pk, each in figures.items()]
    VersionFigures.objects.bulk_create(
        rows, ROWS_PER_STATEMENT, update_conflicts=True, unique_fields=["version"], update_fields=KEPT
    )
    VersionAnswers.objects.filter(version__in=figures).delete()
    VersionAnswers.objects.bulk_create(
        [
            VersionAnswers(version_id=pk, profile=profiles[key], **counted)
            for pk, each in figures.items()
            for key, counted in (each.answers if each else {}).items()
        ],
        ROWS_PER_STATEMENT,
    )


def _row(pk: int, due: int, figures: Figures | None) -> VersionFigures:
    row = VersionFigures(version_id=pk, due=due, done=due)
    if figures is not None:
        row.has_energy = True
        row.kcal_per_100g, row.cooked_is_estimate = figures.kcal_per_100g, figures.cooked_is_estimate
        if figures.energy_percent is not None:
            row.protein_percent, row.fat_percent, row.nfe_percent = figures.energy_percent
        for key in PER_1000_KCAL:
            setattr(row, key, figures.per_1000_kcal[key])
    return row


def stale(most: int) -> list[int]:
    """The newest versions whose figures are to be renewed, no more than so many."""
    return list(VersionFigures.objects.stale().order_by("-version").values_list("version", flat=True)[:most])


def renew_few() -> None:
    """Renew at once what is stale, unless it is much."""
    found = stale(AT_ONCE + 1)
    if 0 < len(found) <= AT_ONCE:
        renew(found)


def begin_missing() -> None:
    """Versions that were written past the signals, such as all of them before figures were kept."""
    missing = RecipeVersion.objects.filter(figures=None).values_list("pk", flat=True)
    VersionFigures.objects.bulk_create(
        [VersionFigures(version_id=pk) for pk in missing], ROWS_PER_STATEMENT, ignore_conflicts=True
    )


def renew_all(said: Said | None = None) -> int:
    """Work out everything anew, here and now; returns how many versions that were."""
    VersionFigures.objects.mark_stale()
    return renew_stale(said)


def renew_stale(said: Said | None = None) -> int:
    begin_missing()
    done = 0
    while turn := stale(PER_TURN):
        renew(turn)
        done += len(turn)
        if said:
            said(done, VersionFigures.objects.stale().count())
    return done
