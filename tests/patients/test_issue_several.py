"""Sheets of several dogs at once: which are offered, the run, and what came of each."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from patients import issue_runs, pdf
from patients.models import IssueRun, Patient, Plan, Sheet
from patients.services import issue_sheet
from patients.withdrawing import withdraw
from tests import cast
from tests.patients.feeding import WHOLE_RECIPE, make_practice

pytestmark = pytest.mark.django_db
PAGE = reverse("patients:issue-several")


@pytest.fixture(autouse=True)
def drawn(monkeypatch):
    monkeypatch.setattr(pdf, "render", lambda record: f"%PDF {record['number']}".encode())


@pytest.fixture(autouse=True)
def at_once(monkeypatch):
    """The run is done before the answer comes, in the test's own transaction."""
    monkeypatch.setattr(issue_runs, "in_background", issue_runs.carry_out)


@pytest.fixture
def practice(db):
    return make_practice()


@pytest.fixture
def version(practitioner):
    return cast.make_recipe("Turkey and barley", WHOLE_RECIPE, approved_by=practitioner, added_water_g=650)


def plan_of(name: str, version, scale: str = "0.01") -> Plan:
    """Of another owner's dog; it asks nothing when the scale shows hundredths."""
    patient = cast.make_patient(cast.make_owner(f"{name}'s owner"), name=name)
    cast.make_visit(patient)
    return cast.make_plan(patient, version, scale=scale)


@pytest.fixture
def several(version):
    """Two that are ready, and one whose powders would have to be handed out weighed."""
    return plan_of("Juniper", version), plan_of("Pepper", version), plan_of("Basil", version, scale="1")


def test_plans_that_ask_nothing_are_ticked_and_others_lead_to_their_page(signed_in, several):
    *ready, asks = several
    html = signed_in.get(PAGE).content.decode()
    for plan in ready:
        assert f'value="{plan.pk}"' in html
    assert html.count("checked") == 2
    assert f'value="{asks.pk}"' not in html
    assert f'href="{asks.get_absolute_url()}#before-issue"' in html


def test_the_chosen_are_issued(signed_in, several, practice, django_capture_on_commit_callbacks):
    first, second, _ = several
    with django_capture_on_commit_callbacks(execute=True):
        answer = signed_in.post(PAGE, {"chosen": [first.pk, second.pk], "reason": ""})
    run = IssueRun.objects.get()
    assert answer.url == run.get_absolute_url()
    assert (run.state, run.issued) == ("done", 2)
    assert {sheet.plan for sheet in Sheet.objects.all()} == {first, second}
    html = signed_in.get(answer.url).content.decode()
    assert "Done: 2 of 2 issued" in html
    assert html.count("Open the sheet") == 2
    part = signed_in.get(answer.url, HTTP_HX_REQUEST="true").content.decode()
    assert part.lstrip().startswith('<div id="issue-run">')


def test_one_that_is_refused_meanwhile_stops_no_other(practitioner, several, practice, caplog):
    first, second, _ = several
    Patient.objects.filter(pk=first.patient_id).update(status="archived")
    run = IssueRun.objects.create(started_by=practitioner, plans=[first.pk, 999_999, second.pk])
    issue_runs.carry_out(run.pk, practice)
    run.refresh_from_db()
    assert [bool(row["sheet"]) for row in run.outcomes] == [False, False, True]
    assert "not in our care" in run.outcomes[0]["why"]
    assert run.outcomes[1]["why"] == "The plan is gone."


def test_what_should_not_happen_is_told_and_stops_no_other(practitioner, several, practice, monkeypatch):
    first, second, _ = several

    def breaks(record):
        if record["dog"]["name"] == "Juniper":
            raise RuntimeError("no ink")
        return b"%PDF"

    monkeypatch.setattr(pdf, "render", breaks)
    run = IssueRun.objects.create(started_by=practitioner, plans=[first.pk, second.pk])
    issue_runs.carry_out(run.pk, practice)
    run.refresh_from_db()
    assert [row["why"] for row in run.outcomes] == [issue_runs.UNEXPECTED, ""]
    assert Plan.objects.get(pk=first.pk).state == Plan.State.DRAFT


def test_a_dog_with_a_withdrawn_sheet_is_offered_again_and_asks_why(
    signed_in, practitioner, practice, version
):
    plan = plan_of("Juniper", version)
    withdraw(
        sheet=issue_sheet(plan=plan, by=practitioner, practice=practice), reason="wrong", by=practitioner
    )
    assert "has a sheet already" in signed_in.get(PAGE).content.decode()
    answer = signed_in.post(PAGE, {"chosen": [plan.pk], "reason": ""})
    assert "Say why a new sheet is issued" in answer.content.decode()
    assert not IssueRun.objects.exists()


def test_nothing_ticked_is_told_beside_the_field(signed_in, several):
    answer = signed_in.post(PAGE, {"reason": "new scales"})
    html = answer.content.decode()
    assert (answer.status_code, "Tick at least one plan." in html, "new scales" in html) == (200, True, True)


def test_runs_come_one_after_the_other(signed_in, practitioner, several):
    IssueRun.objects.create(started_by=practitioner, plans=[])
    answer = signed_in.post(PAGE, {"chosen": [several[0].pk], "reason": ""})
    assert "Other sheets are being issued just now" in answer.content.decode()
    IssueRun.objects.update(seen_at=timezone.now() - timedelta(minutes=2))
    assert signed_in.post(PAGE, {"chosen": [several[0].pk], "reason": ""}).status_code == 302
    assert IssueRun.objects.filter(state="interrupted").count() == 1


def test_a_run_that_goes_on_tells_how_far_it_is(signed_in, practitioner):
    run = IssueRun.objects.create(
        started_by=practitioner,
        plans=[1, 2],
        outcomes=[{"dog": "Rye", "plan": 1, "sheet": None, "why": "No."}],
    )
    html = signed_in.get(run.get_absolute_url()).content.decode()
    assert "1 of 2 done" in html
    assert 'hx-trigger="every 2s"' in html


def test_only_a_practitioner_issues_several(client, staff):
    client.force_login(staff)
    assert client.get(PAGE).status_code == 403
