"""Who changed what on a dog's record."""

from datetime import date, datetime

import pytest
from django.urls import reverse

from patients.activity import changes, spoken, told
from patients.activity_queries import events_of
from patients.models import Medicine
from tests import cast
from tests.patients.typed import typed_dog, typed_rows


@pytest.mark.parametrize(
    ("value", "words"),
    [(None, "nothing"), ("", "nothing"), (0, "0"), (False, "no"), (True, "yes"),
     (date(2026, 3, 1), "1 March 2026"), (datetime(2026, 3, 1, 9, 5), "1 March 2026, 09:05"),
     (15.3, "15.3"), ([40, 60], "40, 60")],
)  # fmt: skip
def test_values_are_said_as_people_say_them(value, words):
    assert spoken(value) == words


def test_only_what_differs_is_told():
    before, after = {"Name": "Juniper", "Breed": ""}, {"Name": "Juniper", "Breed": "hound"}
    assert [(each.label, each.before, each.after) for each in changes(before, after)] == [
        ("Breed", "nothing", "hound")
    ]
    assert [each.label for each in told(before)] == ["Name"]


@pytest.mark.django_db
class TestEvents:
    @pytest.fixture
    def juniper(self):
        return cast.make_patient()

    def test_a_change_names_before_and_after(self, juniper):
        juniper.breed = "greyhound"
        juniper.save()
        event = events_of(juniper)[0]
        assert (event.did, event.what) == ("changed", "patient")
        [change] = event.changes
        assert (change.label, change.before, change.after) == ("Breed", "hound cross", "greyhound")

    def test_choices_and_dates_are_said_in_words(self, juniper):
        visit = cast.make_visit(juniper, mcs="mild")
        visit.mcs = "severe"
        visit.save()
        [change] = events_of(juniper)[0].changes
        assert (change.before, change.after) == ("mild loss", "severe loss")

    def test_a_save_that_changes_nothing_is_no_event(self, juniper):
        count = len(events_of(juniper))
        juniper.save()
        assert len(events_of(juniper)) == count

    def test_what_was_removed_is_still_told(self, juniper):
        Medicine.objects.create(patient=juniper, name="phenobarbital").delete()
        first, second = events_of(juniper)[:2]
        assert {first.did, second.did} == {"removed", "added"}

    def test_an_allergy_or_a_condition_that_was_taken_out_is_still_told(self, signed_in, juniper):
        """As the form sends it: the lists are replaced, and what is the same as before is left alone."""
        signed_in.post(reverse("patients:patient-edit", args=[juniper.pk]), typed_dog())
        kept = typed_dog(conditions="arthritis") | typed_rows(
            "avoids", {"what": "wheat", "kind": "", "reason": ""}, {"what": ""}
        )
        signed_in.post(reverse("patients:patient-edit", args=[juniper.pk]), kept)
        told = [(event.who, event.did, event.what, event.changes[0].after) for event in events_of(juniper)]
        assert sorted(told[:2]) == [
            ("robin", "removed", "condition", "heart murmur"),
            ("robin", "removed", "food to avoid", "chicken"),
        ]

    def test_another_dogs_changes_are_not_told(self, juniper):
        count = len(events_of(juniper))
        cast.make_visit(cast.make_patient(cast.make_owner("Another"), name="Sorrel"))
        assert len(events_of(juniper)) == count

    def test_the_page_says_who(self, signed_in, juniper):
        page = reverse("patients:activity", args=[juniper.pk])
        assert "the program" in signed_in.get(page).text
        assert (
            reverse("patients:activity", args=[juniper.pk]) in signed_in.get(juniper.get_absolute_url()).text
        )
        assert signed_in.get(page, {"page": "9" * 5000}).status_code == 200

    def test_more_events_take_no_more_questions(self, signed_in, juniper, django_assert_max_num_queries):
        for day in range(1, 20):
            cast.make_visit(juniper, date=date(2026, 1, day))
        with django_assert_max_num_queries(46):
            signed_in.get(reverse("patients:activity", args=[juniper.pk]))
