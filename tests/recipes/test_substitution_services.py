"""Keeping, approving, withdrawing substitutions, and making the swap itself."""

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from recipes import services, substitution_services
from recipes.models import KitchenStep, Substitution, SubstitutionAmount
from recipes.substitution_queries import swap_of
from recipes.substitution_services import fingerprint
from tests.recipes import pork

pytestmark = pytest.mark.django_db


def keep(version, by, replaces=pork.CALCIUM, stand_in=pork.EGGSHELL, grams=5.4, amounts=None, **particulars):
    when = particulars.pop("when", "cooled_batch")
    new = Substitution(
        version=version, replaces=pork.food(replaces), food=pork.food(stand_in), grams=grams, when=when
    )
    given = {pork.food(name): g for name, g in (amounts or {}).items()}
    return substitution_services.save_substitution(substitution=new, amounts=given, by=by, **particulars)


def approve(kept, by):
    substitution_services.approve_substitution(substitution=kept, by=by, seen=fingerprint(kept))
    kept.refresh_from_db()


class TestKeeping:
    def test_a_draft_with_the_amounts_of_other_lines(self, staff):
        kept = keep(pork.make_stew(), staff, pork.ZINC, pork.OYSTER, 76, {pork.LIVER: 19}, when="in_the_pot")
        assert not kept.approved
        assert kept.created_by == staff
        assert [(each.food.name, each.grams) for each in kept.amounts.all()] == [(pork.LIVER, 19)]

    @pytest.mark.parametrize(
        ("replaces", "stand_in", "when", "said"),
        [
            (pork.CALCIUM, pork.CALCIUM, "cooled_batch", "cannot stand in for itself"),
            (pork.CALCIUM, pork.ZINC, "cooled_batch", "is in this version already"),
            ("Corn oil", pork.EGGSHELL, "cooled_batch", "is not in this version"),
            (pork.CALCIUM, "Thiamine tablet, 10 mg", "in_the_pot", "heat-sensitive"),
        ],
    )
    def test_what_it_may_not_be(self, staff, replaces, stand_in, when, said):
        with pytest.raises(ValidationError, match=said):
            keep(pork.make_stew(), staff, replaces, stand_in, when=when)
        assert not Substitution.objects.exists()

    def test_there_and_back_in_one_version(self, staff):
        # Both oils are in the recipe, at different moments, so that each could stand in for the other.
        version = pork.make_stew()
        version.ingredients.create(food=pork.food("Corn oil"), grams=10, when="in_the_pot", position=20)
        keep(version, staff, "Canola oil", "Corn oil", 35, when="off_the_heat")
        with pytest.raises(ValidationError, match="goes round in a circle"):
            keep(version, staff, "Corn oil", "Canola oil", 10, when="in_the_pot")

    def test_the_same_twice(self, staff):
        version = pork.make_stew()
        keep(version, staff)
        with pytest.raises(ValidationError, match="already: change that substitution"):
            keep(version, staff, grams=6)

    @pytest.mark.parametrize("grams", [0, -5, 200_000, float("nan")])
    def test_absurd_grams(self, staff, grams):
        with pytest.raises(ValidationError):
            keep(pork.make_stew(), staff, grams=grams)

    def test_every_line_left_out_and_no_energy(self, staff):
        version = pork.make_stew(amounts={pork.PORK: 500, pork.CALCIUM: 5})
        with pytest.raises(ValidationError, match="energy"):
            keep(version, staff, pork.CALCIUM, "Salt, iodized", 2, {pork.PORK: 0})

    def test_a_version_that_changed_meanwhile(self, staff):
        version = pork.make_stew()
        seen = services.fingerprint(version)
        version.ingredients.filter(food__name=pork.LIVER).update(grams=80)
        with pytest.raises(ValidationError, match="changed this recipe"):
            keep(version, staff, seen=seen)

    def test_an_approved_one_is_not_changed(self, staff, practitioner):
        kept = keep(pork.make_stew(approved_by=practitioner), staff)
        approve(kept, practitioner)
        kept.grams = 20
        with pytest.raises(ValidationError, match="withdraw"):
            substitution_services.save_substitution(substitution=kept, amounts={}, by=staff)


class TestApproving:
    def test_an_equal_swap_beside_an_approved_version(self, practitioner):
        kept = keep(pork.make_stew(approved_by=practitioner), practitioner)
        approve(kept, practitioner)
        assert (kept.approved, kept.approved_by) == (True, practitioner)

    def test_a_draft_version_may_still_change(self, practitioner):
        kept = keep(pork.make_stew(), practitioner)
        with pytest.raises(ValidationError, match="Version 1 is not approved yet"):
            approve(kept, practitioner)

    def test_a_limit_that_the_version_meets_and_the_swap_does_not(self, practitioner):
        version = pork.make_stew(approved_by=practitioner)
        kept = keep(version, practitioner, pork.LIVER, pork.CHICKEN_LIVER, 40, when="in_the_pot")
        with pytest.raises(ValidationError, match="Copper falls below minimum"):
            approve(kept, practitioner)

    def test_a_limit_that_the_version_itself_does_not_meet_is_no_obstacle(self, practitioner):
        plain = {name: grams for name, grams in pork.STEW.items() if name != pork.ZINC}
        kept = keep(pork.make_stew(approved_by=practitioner, amounts=plain), practitioner)
        approve(kept, practitioner)  # zinc is below in both

    def test_what_must_never_be_fed(self, practitioner):
        onion = pork.food("Asparagus, raw")
        onion.name = "Onion, raw"
        onion.save()
        version = pork.make_stew(approved_by=practitioner)
        kept = keep(version, practitioner, pork.SPINACH, "Onion, raw", 60, when="late")
        with pytest.raises(ValidationError, match="Never in a dog's food"):
            approve(kept, practitioner)

    def test_something_else_than_was_seen(self, practitioner):
        kept = keep(pork.make_stew(approved_by=practitioner), practitioner)
        seen = fingerprint(kept)
        Substitution.objects.update(grams=50)
        with pytest.raises(ValidationError, match="changed"):
            substitution_services.approve_substitution(substitution=kept, by=practitioner, seen=seen)

    def test_withdrawn_it_may_change_and_be_taken_out(self, practitioner):
        kept = keep(pork.make_stew(approved_by=practitioner), practitioner)
        approve(kept, practitioner)
        with pytest.raises(ValidationError, match="withdraw"):
            substitution_services.take_out_substitution(substitution=kept)
        substitution_services.withdraw_substitution(substitution=kept)
        assert not Substitution.objects.get().approved
        substitution_services.take_out_substitution(substitution=kept)
        assert not Substitution.objects.exists()


class TestPuttingIn:
    def put_in(self, kept, by, **seen):
        return substitution_services.put_into_recipe(
            version=kept.version, swap=swap_of(kept), food=kept.food, by=by, **seen
        )

    def test_after_an_approved_version_the_next_one_is_made(self, practitioner, staff):
        version = pork.make_stew()
        KitchenStep.objects.create(version=version, text="Stir.", minutes=5)
        version.approved_by, version.approved_at = practitioner, timezone.now()
        version.save()
        kept = keep(version, staff, pork.ZINC, pork.OYSTER, 76, {pork.LIVER: 19}, when="in_the_pot")
        made = self.put_in(kept, staff)
        lines = dict(made.ingredients.values_list("food__name", "grams"))
        assert made.number == 2
        assert (lines[pork.OYSTER], lines[pork.LIVER]) == (76, 19)
        assert pork.ZINC not in lines
        assert lines.keys() - {pork.OYSTER} == pork.STEW.keys() - {pork.ZINC}
        assert made.note == f"76 g {pork.OYSTER} instead of {pork.ZINC}"
        assert [step.text for step in made.kitchen_steps.all()] == ["Stir."]
        version.refresh_from_db()
        assert dict(version.ingredients.values_list("food__name", "grams")) == pork.STEW

    def test_a_draft_changes_in_place(self, staff):
        kept = keep(pork.make_stew(), staff)
        assert self.put_in(kept, staff) == kept.version

    def test_not_an_older_version(self, practitioner, staff):
        kept = keep(pork.make_stew(approved_by=practitioner), staff)
        self.put_in(kept, staff)
        with pytest.raises(ValidationError, match="not the latest"):
            self.put_in(kept, staff)

    def test_not_over_somebody_elses_change(self, staff):
        kept = keep(pork.make_stew(), staff)
        with pytest.raises(ValidationError, match="changed this recipe"):
            self.put_in(kept, staff, seen="other")


class TestTheNextVersion:
    def next_version(self, version, by, without=()):
        lines = [line for line in version.ingredients.select_related("food") if line.food.name not in without]
        for line in lines:
            line.pk, line._state.adding = None, True
        return services.save_version(
            recipe=version.recipe, particulars={"method": version.method}, ingredients=lines,
            kitchen_steps=[], author=by,
        )  # fmt: skip

    def test_it_takes_them_along_as_drafts(self, practitioner):
        version = pork.make_stew(approved_by=practitioner)
        approve(keep(version, practitioner), practitioner)
        keep(version, practitioner, pork.ZINC, pork.OYSTER, 76, {pork.LIVER: 19}, when="in_the_pot")
        made = self.next_version(version, practitioner)
        copies = {str(each): each for each in made.substitutions.all()}
        assert set(copies) == {
            f"{pork.EGGSHELL} instead of {pork.CALCIUM}", f"{pork.OYSTER} instead of {pork.ZINC}",
        }  # fmt: skip
        assert not any(each.approved for each in copies.values())
        assert SubstitutionAmount.objects.filter(substitution__version=made).get().grams == 19
        assert version.substitutions.filter(approved_at__isnull=False).count() == 1

    def test_those_whose_food_is_gone_stay_behind(self, practitioner):
        version = pork.make_stew(approved_by=practitioner)
        keep(version, practitioner)
        keep(version, practitioner, pork.ZINC, pork.OYSTER, 76, {pork.LIVER: 19}, when="in_the_pot")
        made = self.next_version(version, practitioner, without=(pork.CALCIUM, pork.LIVER))
        [copy] = made.substitutions.all()
        assert copy.replaces.name == pork.ZINC
        assert not copy.amounts.exists()

    def test_a_draft_that_is_changed_keeps_its_own(self, practitioner):
        version = pork.make_stew()
        keep(version, practitioner)
        self.next_version(version, practitioner)
        assert Substitution.objects.count() == 1


def test_the_history_tells_who_approved(practitioner):
    kept = keep(pork.make_stew(approved_by=practitioner), practitioner)
    approve(kept, practitioner)
    assert kept.history.first().approved_at <= timezone.now()
    assert kept.history.count() == 2
