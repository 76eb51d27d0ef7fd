"""Weights in the pages: doubted ones, the owner's list, the curve and its table."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from patients.models import HomeWeighIn, Plan
from patients.queries import weights_of
from patients.weight_curve import weight_curve
from tests import cast
from tests.patients.typed import typed_diet, typed_visit

TODAY = timezone.localdate()


def ago(days):
    return TODAY - timedelta(days=days)


@pytest.fixture
def dog(db):
    patient = cast.make_patient()
    cast.make_visit(patient, date=ago(14), weight_kg=18.4, bcs=7)
    return patient


def answers(page):
    """Value of each answer that is offered, by its first word."""
    parts = page.split('type="radio"')[1:]
    values = [part.split('value="')[1].split('"')[0] for part in parts]
    return {value.split()[0]: value for value in values}


def test_a_doubted_weight_is_asked_about_and_nothing_is_saved(signed_in, dog):
    url = reverse("patients:visit-new", args=[dog.pk])
    typed = typed_visit(kind="recheck", weight_kg="40.6") | typed_diet()
    page = signed_in.post(url, typed).content.decode()
    assert "were these pounds?" in page
    assert "It was 40.6 lb: 18.4 kg." in page
    assert 'value="40.6"' in page
    assert dog.visits.count() == 1
    signed_in.post(url, typed | {"weight_answer": answers(page)["other-unit"]})
    assert dog.visits.first().weight_kg == pytest.approx(40.6 * 0.45359237)


@pytest.mark.parametrize(("answer", "kept"), [("right", False), ("left-out", True)])
def test_a_doubted_weight_is_right_or_left_out(signed_in, dog, answer, kept):
    url = reverse("patients:visit-new", args=[dog.pk])
    typed = typed_visit(kind="recheck", weight_kg="40.6") | typed_diet()
    value = answers(signed_in.post(url, typed).content.decode())[answer]
    signed_in.post(url, typed | {"weight_answer": value})
    visit = dog.visits.first()
    assert (visit.weight_kg, visit.left_out) == (40.6, kept)
    assert len(weights_of(dog)) == (1 if kept else 2)
    page = signed_in.get(dog.get_absolute_url()).content.decode()
    assert ("left out of the curve" in page) is kept
    assert ("40.6 kg, BCS 7" in page) is not kept  # the head of the page


def test_an_edit_that_leaves_the_weight_alone_asks_nothing(signed_in, dog):
    visit = cast.make_visit(dog, date=TODAY, kind="recheck", weight_kg=40.6)
    typed = typed_visit(kind="recheck", weight_kg="40.6", notes="Again.") | typed_diet()
    assert signed_in.post(reverse("patients:visit-edit", args=[visit.pk]), typed).status_code == 302
    out = typed_visit(kind="recheck", weight_kg="41.6", left_out="on") | typed_diet()
    assert signed_in.post(reverse("patients:visit-edit", args=[visit.pk]), out).status_code == 302
    visit.refresh_from_db()
    assert (visit.weight_kg, visit.left_out) == (41.6, True)


def test_a_list_from_the_owner_with_faults_keeps_every_line(signed_in, dog):
    url = reverse("patients:home-weigh-ins-new", args=[dog.pk])
    lines = f"{ago(7)} 18,2 kg\n{ago(6)} 40 kg\nsick today\n{ago(5)} 18.1"
    page = signed_in.post(url, {"lines": lines}).content.decode()
    for said in ("Line 2: 40 kg after 18.2 kg: were these pounds?", "Line 3:", "Line 4:", "add kg or lb"):
        assert said in page
    assert "sick today" in page.split("<textarea")[1].split("</textarea>")[0]
    assert "Line 2: which is it?" in page
    assert not HomeWeighIn.objects.exists()
    mended = f"{ago(7)} 18,2 kg\n{ago(6)} 40 kg\n{ago(5)} 18.1 kg"
    signed_in.post(url, {"lines": mended, f"answer-{ago(6)}": answers(page)["other-unit"]})
    kept = [round(each.weight_kg, 2) for each in dog.home_weigh_ins.order_by("date")]
    assert kept == [18.2, 18.14, 18.1]  # 40 x 0.45359237


def test_an_answer_is_kept_while_other_lines_are_mended(signed_in, dog):
    url = reverse("patients:home-weigh-ins-new", args=[dog.pk])
    lines = f"sick\n{ago(6)} 40 kg"
    value = answers(signed_in.post(url, {"lines": lines}).content.decode())["other-unit"]
    page = signed_in.post(url, {"lines": lines, f"answer-{ago(6)}": value}).content.decode()
    assert "Line 1:" in page
    assert f'value="{value}" checked' in page


def test_a_day_that_is_on_record_is_said(signed_in, dog):
    HomeWeighIn.objects.create(patient=dog, date=ago(7), weight_kg=18.2)
    url = reverse("patients:home-weigh-ins-new", args=[dog.pk])
    page = signed_in.post(url, {"lines": f"{ago(7)} 18.3 kg"}).content.decode()
    assert "Line 1: 18.2 kg of that day is on record" in page


def test_an_empty_list_saves_nothing(signed_in, dog):
    url = reverse("patients:home-weigh-ins-new", args=[dog.pk])
    assert signed_in.post(url, {"lines": " \n"}).status_code == 200


def test_mending_a_weigh_in_at_home(signed_in, dog):
    weigh_in = HomeWeighIn.objects.create(patient=dog, date=ago(7), weight_kg=18.2)
    url = reverse("patients:home-weigh-in-edit", args=[weigh_in.pk])
    typed = {"date": ago(7).isoformat(), "weight_kg": "40", "weight_kg_unit": "kg", "note": "wet"}
    page = signed_in.post(url, typed).content.decode()
    signed_in.post(url, typed | {"weight_answer": answers(page)["left-out"]})
    weigh_in.refresh_from_db()
    assert (weigh_in.weight_kg, weigh_in.left_out, weigh_in.note) == (40, True, "wet")
    future = typed | {"date": (TODAY + timedelta(days=1)).isoformat(), "weight_kg": "18.2"}
    assert "future" in signed_in.post(url, future).content.decode()


def test_both_kinds_come_in_order_and_one_left_out_changes_nothing(dog):
    HomeWeighIn.objects.create(patient=dog, date=ago(7), weight_kg=18.0)
    HomeWeighIn.objects.create(patient=dog, date=ago(3), weight_kg=41.0, left_out=True)
    cast.make_visit(dog, date=TODAY, kind="recheck", weight_kg=17.82)
    told = [(w.entry.kg, w.entry.percent) for w in weights_of(dog, with_left_out=True)]
    assert [kg for kg, _ in told] == [18.4, 18.0, 41.0, 17.82]
    assert (told[2][1], told[3][1]) == (None, pytest.approx(-1.0))  # 0.18 of 18 kg
    assert [w.entry.kg for w in weights_of(dog)] == [18.4, 18.0, 17.82]


def make_fed(dog, days, **choices):
    version = cast.make_recipe(f"Turkey {days}")
    plan = cast.make_plan(dog, version, **({"goal": "lose", "target_kg": 16} | choices))
    Plan.objects.filter(pk=plan.pk).update(created_at=timezone.now() - timedelta(days=days))
    return plan


def test_the_corridor_runs_from_where_the_loss_began_over_all_its_plans(dog):
    """18.4 kg, fourteen days at 1 and 2 %: 18.4 x 0.99^2 = 18.034, 18.4 x 0.98^2 = 17.671."""
    make_fed(dog, 14, state="ended")
    make_fed(dog, 4, state="issued")
    cast.make_visit(dog, date=TODAY, kind="recheck", weight_kg=18.0)
    curve = weight_curve(dog)
    assert (curve.corridor.start, curve.corridor.start_kg) == (ago(14), 18.4)
    row = curve.row(curve.weights[-1])
    assert row.corridor == (pytest.approx(17.671, abs=0.001), pytest.approx(18.034, abs=0.001))
    assert [(mark.letter, mark.day) for mark in curve.marks] == [("A", ago(14)), ("B", ago(4))]
    assert "990 kcal a day, lose weight, target 16.0 kg; Turkey 4" in curve.marks[1].words


def test_a_corridor_does_not_start_from_a_weight_of_long_ago(dog):
    """18.4 kg two weeks ago and 18.0 kg since, on a plan of eleven days; then as if 18.4 kg were older."""
    make_fed(dog, 11, state="issued")
    cast.make_visit(dog, date=ago(9), kind="recheck", weight_kg=18.0)
    assert (weight_curve(dog).corridor.start, weight_curve(dog).corridor.start_kg) == (ago(11), 18.4)
    dog.visits.filter(weight_kg=18.4).update(date=ago(60))
    assert (weight_curve(dog).corridor.start, weight_curve(dog).corridor.start_kg) == (ago(9), 18.0)
    dog.visits.filter(weight_kg=18.0).delete()
    assert (weight_curve(dog).corridor.start, weight_curve(dog).corridor.start_kg) == (ago(11), 18.4)


def test_a_plan_that_holds_has_no_corridor(dog):
    make_fed(dog, 4, state="issued", goal="hold")
    assert weight_curve(dog).corridor is None


def test_the_pace_is_switched(signed_in, dog):
    make_fed(dog, 14, state="issued")
    url = reverse("patients:loss-pace", args=[dog.pk])
    signed_in.post(url, {"pace": "gentle"})
    page = signed_in.get(dog.get_absolute_url()).content.decode()
    assert "a loss of 0.5 to 1 % a week" in page
    dog.refresh_from_db()
    assert weight_curve(dog).corridor.fast == 1
    signed_in.post(url, {"pace": "usual"})
    dog.refresh_from_db()
    assert weight_curve(dog).corridor.fast == 2


def test_growth_is_shown_for_a_growing_dog_only(signed_in, dog):
    url = reverse("patients:growth-chart", args=[dog.pk])
    assert signed_in.get(url).status_code == 404
    puppy = cast.make_patient(dog.owner, name="Otto", born=ago(140), expected_adult_kg=40)
    cast.make_visit(puppy, date=ago(7), weight_kg=16)
    answer = signed_in.get(reverse("patients:growth-chart", args=[puppy.pk]))
    assert answer["Content-Type"] == "image/svg+xml"
    assert weight_curve(puppy).growth[0].percent == 40  # 16 of 40 kg
    assert "% of adult" in signed_in.get(puppy.get_absolute_url()).content.decode()
