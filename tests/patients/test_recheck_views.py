"""Re-checks in the pages: what is asked, what a visit says, and the plan that follows."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from patients.models import HomeWeighIn, Plan
from patients.recheck_queries import answer_of
from patients.recheck_services import following, make_next_plan
from patients.services import work_out
from patients.suggestions import CHECK, KEEP, LESS, REFER
from tests import cast
from tests.patients.feeding import make_whole_plan
from tests.patients.typed import typed_diet, typed_visit

TODAY = timezone.localdate()


def ago(days):
    return TODAY - timedelta(days=days)


def feed(plan, days):
    """The plan is fed since so many days."""
    Plan.objects.filter(pk=plan.pk).update(
        state=Plan.State.ISSUED, created_at=timezone.now() - timedelta(days=days)
    )
    plan.refresh_from_db()


@pytest.fixture
def plan(practitioner):
    """20.0 kg four weeks ago when a loss to 16 kg began; 800 kcal a day, 40 of them extras."""
    made = make_whole_plan(practitioner, goal="lose", target_kg=16, kcal_per_day=800, extras_kcal=40)
    made.patient.visits.all().delete()
    cast.make_visit(made.patient, date=ago(28), weight_kg=20.0, bcs=7)
    feed(made, 28)
    return made


def recheck(plan, weight_kg=19.8, **findings):
    told = {"date": TODAY, "kind": "recheck", "bcs": 7, "fed_percent": 100} | findings
    return cast.make_visit(plan.patient, weight_kg=weight_kg, **told)


@pytest.mark.parametrize(
    ("weight_kg", "findings", "action"),
    [
        (19.8, {}, LESS),  # 1 % in four weeks: 0.25 % a week
        (19.8, {"fed_percent": None}, CHECK),
        (19.8, {"fed_percent": None, "fed_kcal": 840}, LESS),  # 105 %
        (19.8, {"fed_percent": 130}, CHECK),
        (19.8, {"leftovers": "much"}, CHECK),
        (19.0, {}, KEEP),  # 5 % in four weeks: 1.25 % a week
        (18.2, {}, REFER),  # 9 %: 2.25 % a week
        (19.8, {"vomiting": True}, REFER),
        (19.8, {"appetite": "poor"}, REFER),
        (19.8, {"faecal_score": 6}, REFER),
        (19.8, {"faecal_score": 5}, LESS),
        (19.0, {"bcs": 4}, REFER),
    ],
)
def test_what_a_visit_says(plan, weight_kg, findings, action):
    assert answer_of(recheck(plan, weight_kg, **findings)).suggestion.action == action


def test_three_days_on_a_plan_say_nothing_of_it(plan):
    """20 kg 16 days ago and 20.3 kg now would be a rise, but of the food before the plan."""
    feed(plan, 3)
    plan.patient.visits.update(date=ago(16))
    answer = answer_of(recheck(plan, 20.3))
    assert answer.suggestion.action == KEEP
    assert "Too early" in answer.suggestion.reasons[0]


def test_the_weight_of_the_visit_itself_counts_and_not_a_heavier_one_at_home_of_that_day(plan):
    """16.0 kg is the target; the owner's scale says 16.2."""
    feed(plan, 42)
    plan.patient.visits.update(date=ago(42), weight_kg=17.0)
    HomeWeighIn.objects.create(patient=plan.patient, date=TODAY, weight_kg=16.2)
    answer = answer_of(recheck(plan, 16.0, bcs=6))
    assert "The target is reached" in answer.suggestion.reasons[0]


def test_the_actual_is_told_beside_the_expected(plan):
    """Fed 840 of 800 kcal is 105 %; 1 % of 20 kg in four weeks is 0.25 % a week."""
    answer = answer_of(recheck(plan, fed_kcal=840, fed_percent=None))
    assert (answer.rate, answer.weeks, answer.expected) == ("0.2 % less a week", 4, "1 to 2 % less a week")
    assert answer.fed_percent == pytest.approx(105)


def test_a_gentler_pace_is_content_with_less(plan):
    """19.5 kg: 2.5 % in four weeks, 0.625 % a week."""
    visit = recheck(plan, 19.5)
    assert answer_of(visit).suggestion.action == LESS
    plan.patient.gentle_loss = True
    plan.patient.save()
    visit.refresh_from_db()
    assert answer_of(visit).suggestion.action == KEEP


@pytest.mark.parametrize(
    "particulars", [{"conditions": ["Diabetes mellitus"]}, {"born": ago(200)}, {"conditions": ["pregnant"]}]
)
def test_nothing_is_changed_by_itself_for_these_dogs(plan, particulars):
    for name in particulars.pop("conditions", []):
        plan.patient.conditions.create(name=name)
    type(plan.patient).objects.filter(pk=plan.patient.pk).update(**particulars)
    plan.patient.refresh_from_db()
    visit = recheck(plan)
    visit.patient.refresh_from_db()
    answer = answer_of(visit)
    assert answer.suggestion.factor == 1
    assert following(visit, answer) is None


def test_insulin_on_the_list_of_medicines_changes_nothing_by_itself(plan):
    plan.patient.medicines.create(name="insulin glargine")
    assert answer_of(recheck(plan)).suggestion.action == KEEP


def test_a_doubted_weight_that_was_left_out_is_not_used(plan):
    """44 kg left out; the home weigh-in of 19.0 kg a week ago is: 5 % in three weeks, 1.67 % a week."""
    HomeWeighIn.objects.create(patient=plan.patient, date=ago(7), weight_kg=19.0)
    answer = answer_of(recheck(plan, 44.0, left_out=True))
    assert (answer.rate, answer.suggestion.action) == ("1.7 % less a week", KEEP)


def test_of_two_visits_of_a_day_the_one_that_refers_comes_first(signed_in, plan):
    """The vet saw it thin in the morning; weighed again at noon it looks as if all were well."""
    recheck(plan, 19.0, bcs=4)
    noon = recheck(plan, 19.0, kind="weigh_in", bcs=6)
    assert answer_of(noon).suggestion.reasons == ("BCS 4 while losing weight.",)
    assert "Stop and refer" in signed_in.get(plan.patient.get_absolute_url()).content.decode()


def test_a_weight_that_is_not_believed_is_no_fact_in_the_head_of_its_visit(signed_in, plan):
    visit = recheck(plan, 43.7, left_out=True)
    page = signed_in.get(reverse("patients:visit-detail", args=[visit.pk])).content.decode()
    assert "43.7 kg (in doubt), BCS 7" in page


def test_what_the_owner_weighed_since_the_last_visit_is_told_beside_what_that_said(signed_in, plan):
    """20.0, 19.6 and 18.2 kg two weeks apart: the middle slope is 0.45 kg a week; on that line the first day
    has 19.6 + 0.9 = 20.5 kg, of which it is 2.2 %.
    """
    dog = plan.patient
    recheck(plan, 19.6, date=ago(14))
    page = signed_in.get(dog.get_absolute_url()).content.decode()
    assert "Weighed at home since" not in page
    HomeWeighIn.objects.create(patient=dog, date=TODAY, weight_kg=18.2)
    page = " ".join(signed_in.get(dog.get_absolute_url()).content.decode().split())
    assert "Weighed at home since the last visit: 2.2 % less a week over 4.0 weeks." in page
    assert "Speak to the dog's veterinarian before anything else." in page
    HomeWeighIn.objects.update(left_out=True)
    assert "Weighed at home since" not in signed_in.get(dog.get_absolute_url()).content.decode()


def test_a_plan_of_the_same_day_was_not_fed_before_the_visit(plan):
    visit = recheck(plan)
    after = cast.make_plan(plan.patient, plan.recipe_version, goal="lose", target_kg=16, state="issued")
    assert answer_of(visit).plan == plan
    assert after.created_at.date()


def test_without_a_plan_only_a_referral_is_said(db):
    dog = cast.make_patient()
    calm = cast.make_visit(dog, date=ago(1))
    assert answer_of(calm).suggestion is None
    ill = cast.make_visit(dog, date=TODAY, kind="recheck", vomiting=True)
    assert answer_of(ill).suggestion.action == REFER


def test_the_next_plan_is_a_draft_with_a_tenth_less(plan):
    """800 x 0.9 = 720 kcal, 40 x 0.9 = 36 kcal of extras."""
    visit = recheck(plan)
    draft = make_next_plan(visit=visit)
    assert (draft.kcal_per_day, draft.extras_kcal, draft.state) == (720, 36, "draft")
    assert draft.supersedes == plan
    assert draft.method.startswith("10 % less than 800 kcal, after the re-check of")
    assert "at least 1 % of loss is wanted" in draft.note
    plan.refresh_from_db()
    assert (plan.kcal_per_day, plan.state) == (800, "issued")
    assert make_next_plan(visit=visit) == draft  # pressed twice
    assert plan.patient.plans.count() == 2


def test_extras_stay_within_a_tenth_of_the_day(plan):
    """79.5 of 795 kcal: 71.55 of 716 would be 72 by rounding, more than a tenth."""
    Plan.objects.filter(pk=plan.pk).update(kcal_per_day=795, extras_kcal=79.5)
    assert make_next_plan(visit=recheck(plan)).extras_kcal == 71


def test_what_falls_below_minimum_is_named(plan):
    """The allowance per kg^0.75 is divided by a tenth less energy: each raised minimum rises by a ninth."""
    visit = recheck(plan)
    found = following(visit, answer_of(visit))
    before = work_out(plan).batch.strictest
    after = work_out(found.plan).batch.strictest
    fell = [
        line["name"]
        for key, line in after.iterrows()
        if line["minimum_answer"] == "below" and before.loc[key, "minimum_answer"] != "below"
    ]
    assert list(found.falling) == fell
    raised = after.loc["calcium", "minimum"] / before.loc["calcium", "minimum"]
    assert raised == pytest.approx(1 / 0.9, rel=0.03)  # doses and foods are rounded


def test_a_plan_below_the_floor_is_not_made(signed_in, plan):
    """0.8 x 70 x 16^0.75 = 448 kcal; a tenth less than 480 is 432."""
    Plan.objects.filter(pk=plan.pk).update(kcal_per_day=480)
    visit = recheck(plan)
    page = signed_in.get(reverse("patients:visit-detail", args=[visit.pk])).content.decode()
    assert "Such a plan is not in order" in page
    assert "Make the next plan" not in page
    signed_in.post(reverse("patients:plan-from-visit", args=[visit.pk]))
    assert plan.patient.plans.count() == 1


def test_the_page_says_it_and_one_click_makes_the_plan(signed_in, plan):
    visit = recheck(plan)
    page = signed_in.get(reverse("patients:visit-detail", args=[visit.pk])).content.decode()
    assert "10 % less." in page
    assert "<strong>720 kcal a day</strong>" in page
    answer = signed_in.post(reverse("patients:plan-from-visit", args=[visit.pk]), follow=True)
    assert "Why this plan:" in answer.content.decode()
    assert "10 % less." in signed_in.get(plan.patient.get_absolute_url()).content.decode()


def test_an_old_visit_makes_no_plan(signed_in, plan):
    old = recheck(plan, date=ago(3))
    recheck(plan, 19.6)
    assert not answer_of(old).can_change
    signed_in.post(reverse("patients:plan-from-visit", args=[old.pk]))
    assert plan.patient.plans.count() == 1


def test_a_whole_recheck(signed_in, plan):
    """30 iron tablets, one a batch day at most: the count is told beside the plan's doses."""
    url = reverse("patients:visit-new", args=[plan.patient.pk])
    page = signed_in.get(url).content.decode()
    assert "Iron chelate tablet, 18 mg iron" in page
    assert "800 kcal a day, 40 of them extras" in page
    typed = {
        "kind": "recheck", "weight_kg": "19,8", "vomiting": "no", "leftovers": "none", "coat": "glossy",
        "water": "usual", "liveliness": "lively", "fed_percent": "100", "questions": "May she have carrots?",
        "tablets-iron-chelate-tablet-18-mg-iron-had": "60",
        "tablets-iron-chelate-tablet-18-mg-iron-left": "32",
        "home-lines": "2026-01-01 20.3 kg\n" + f"{ago(14).isoformat()} 43.7 lb after breakfast",
    }  # fmt: skip
    typed["home-lines"] = typed["home-lines"].replace("2026-01-01", ago(21).isoformat())
    answer = signed_in.post(url, typed_visit(**typed) | typed_diet(), follow=True)
    page = answer.content.decode()
    visit = plan.patient.visits.first()
    assert (visit.vomiting, visit.leftovers, visit.coat, visit.fed_percent) == (False, "none", "glossy", 100)
    homes = plan.patient.home_weigh_ins.order_by("date")
    assert [round(home.weight_kg, 2) for home in homes] == [20.3, 19.82]  # 43.7 x 0.45359237
    count = visit.tablet_counts.get()
    assert (count.had, count.left) == (60, 32)
    assert "28 used in 28 days" in page
    assert "May she have carrots?" in page


def test_what_stays_the_same_starts_from_last_time(signed_in, plan):
    recheck(plan, date=ago(7), activity="low", activity_minutes=40, activity_kind="walks on the lead")
    page = signed_in.get(reverse("patients:visit-new", args=[plan.patient.pk])).content.decode()
    assert 'value="40"' in page.split('name="activity_minutes"')[1].split(">")[0]
    assert 'value="walks on the lead"' in page
    weight = page.split('name="weight_kg"')[1].split(">")[0]
    assert "19.8" not in weight  # always taken anew


def test_what_is_left_of_tablets_starts_the_next_count(signed_in, plan):
    visit = recheck(plan, date=ago(7))
    visit.tablet_counts.create(what="Iron chelate tablet, 18 mg iron", had=60, left=41)
    page = signed_in.get(reverse("patients:visit-new", args=[plan.patient.pk])).content.decode()
    assert 'value="41"' in page.split('name="tablets-iron-chelate-tablet-18-mg-iron-had"')[1].split(">")[0]


def test_only_one_of_kcal_and_percent(signed_in, plan):
    url = reverse("patients:visit-new", args=[plan.patient.pk])
    typed = typed_visit(kind="recheck", weight_kg="19.8", fed_kcal="800", fed_percent="100")
    page = signed_in.post(url, typed | typed_diet()).content.decode()
    assert "not both" in page
    assert plan.patient.visits.count() == 1


def test_a_viewer_reads_and_makes_nothing(client, viewer, plan):
    visit = recheck(plan)
    client.force_login(viewer)
    page = client.get(reverse("patients:visit-detail", args=[visit.pk]))
    assert page.status_code == 200
    assert "Make the next plan" not in page.content.decode()
    assert client.post(reverse("patients:plan-from-visit", args=[visit.pk])).status_code == 403
    assert client.post(reverse("patients:loss-pace", args=[plan.patient.pk])).status_code == 403
    assert client.get(reverse("patients:home-weigh-ins-new", args=[plan.patient.pk])).status_code == 403


def test_a_dog_on_insulin_is_known_by_its_medicines(practitioner):
    plan = make_whole_plan(practitioner)
    visit = plan.patient.visits.first()
    assert "insulin" not in _reasons(visit)
    plan.patient.medicines.create(name="Insulin, long-acting")
    assert "insulin" in _reasons(visit)


def _reasons(visit) -> str:
    from patients.plan_queries import dog_of
    from patients.recheck_queries import _findings
    from patients.suggestions import suggest

    findings = _findings(visit, dog_of(visit.patient, visit.date), None, [], None, {})
    return str(suggest(findings)).casefold()
