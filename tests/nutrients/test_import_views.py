"""The page that brings in a download: the form, the run as it goes on, its report, and who may."""

import csv
import io
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.files.storage import FileSystemStorage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.utils import timezone
from pytest_django.asserts import assertContains, assertNotContains, assertRedirects, assertTemplateUsed

from nutrients import import_forms
from nutrients.food_import import runs
from nutrients.food_import.standing import CURATED
from nutrients.models import Food, FoodImport
from nutrients.models.imports import import_storage
from tests.nutrients.usda_files import CSV, packed, spoiled

pytestmark = pytest.mark.django_db

NEW = "/foods/import/"
FRAGMENT = {"HX-Request": "true"}


@pytest.fixture(autouse=True)
def kept_files(monkeypatch, tmp_path):
    """The folder in which uploads are kept."""
    folder = tmp_path / "imports"
    folder.mkdir()
    monkeypatch.setattr(FoodImport._meta.get_field("file"), "storage", FileSystemStorage(folder))
    return folder


@pytest.fixture
def started(monkeypatch):
    """The runs that were started, instead of threads."""
    keys = []
    monkeypatch.setattr(runs, "in_background", keys.append)
    return keys


@pytest.fixture
def send(signed_in, tmp_path, monkeypatch, django_capture_on_commit_callbacks):
    """Send the form with a download; the run is over before the answer is given."""

    def send(download=CSV, **fields):
        monkeypatch.setattr(runs, "in_background", runs.carry_out)
        zipped = SimpleUploadedFile("download.zip", packed(tmp_path, download).read_bytes())
        with django_capture_on_commit_callbacks(execute=True):
            response = signed_in.post(NEW, {"upload": zipped} | fields)
        assert response.status_code == 302, response.context["form"].errors
        return FoodImport.objects.get(pk=response.url.split("/")[-2])

    return send


def make_run(**fields):
    return FoodImport.objects.create(**({"name": "download.zip"} | fields))


def names_in(folder):
    return [path.name for path in folder.iterdir()]


def test_the_form_says_what_it_does(signed_in):
    page = signed_in.get(NEW)
    assertContains(page, "Foods that carry a trade name are left out.")
    assertContains(page, 'value="muscle meat"')
    assertContains(page, "None yet.")


def test_an_upload_is_brought_in_and_its_page_reports(send, signed_in, practitioner):
    run = send()
    assert (run.state, run.name, run.started_by) == ("done", "download.zip", practitioner)
    assert Food.objects.filter(source="USDA FoodData Central, SR Legacy").count() == 2
    page = signed_in.get(run.get_absolute_url())
    assertTemplateUsed(page, "nutrients/import_detail.html")
    assertContains(page, '<th scope="row">Foods</th><td class="num">5</td>')
    assertContains(page, "already curated")
    assertContains(page, "Cheese, cheddar, test")
    assertNotContains(page, 'hx-trigger="every')


def test_a_done_import_keeps_no_file(send, kept_files):
    assert send().file.name == ""
    assert names_in(kept_files) == []


def test_a_dry_run_writes_nothing_and_can_then_be_brought_in(
    send, signed_in, kept_files, django_capture_on_commit_callbacks
):
    run = send(dry_run="on")
    assert not Food.objects.filter(source__startswith="USDA FoodData").exists()
    assert names_in(kept_files) == [run.file.name]
    assertContains(signed_in.get(run.get_absolute_url()), "Bring them in now")
    with django_capture_on_commit_callbacks(execute=True):
        response = signed_in.post(f"{run.get_absolute_url()}again/")
    again = FoodImport.objects.latest("pk")
    assertRedirects(response, again.get_absolute_url())
    assert (again.state, again.dry_run, again.report["added"]) == ("done", False, 5)
    assert names_in(kept_files) == []


def test_only_the_ticked_groups_come_in(send):
    run = send(groups=["legume", "dairy"])
    assert (run.groups, run.report["added"]) == (["legume", "dairy"], 2)


def test_a_broken_file_is_named_and_changes_nothing(send, signed_in, tmp_path, kept_files):
    run = send(spoiled(tmp_path, CSV, "food_nutrient.csv", '"20.5"', '"2O.5"'))
    assert run.state == "failed"
    assert run.message == "food_nutrient.csv:2: '2O.5' is not a number. Nothing was changed."
    assert not Food.objects.filter(source__startswith="USDA FoodData").exists()
    assertContains(
        signed_in.get(run.get_absolute_url()), "food_nutrient.csv:2: &#x27;2O.5&#x27; is not a number"
    )
    assert names_in(kept_files) == []


def test_what_nobody_foresaw_ends_the_run_and_is_logged(send, monkeypatch, caplog):
    monkeypatch.setattr(runs, "import_foods", lambda *args, **options: 1 / 0)
    run = send()
    assert (run.state, run.message) == ("failed", runs.UNEXPECTED)
    assert "ZeroDivisionError" in caplog.text


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("foods.zip", b"no zip at all", "This is not a whole zip file."),
        ("foods.zip", b"", "This file is empty."),
        (None, b"", "Choose the zip file."),
    ],
)
def test_a_file_that_is_none_is_refused_beside_the_field(signed_in, started, name, content, said):
    fields = {"dry_run": "on", "groups": ["legume"]}
    if name:
        fields["upload"] = SimpleUploadedFile(name, content)
    page = signed_in.post(NEW, fields)
    assert page.status_code == 200
    assertContains(page, said)
    assertContains(page, "checked", 2)
    assert page.context["form"]["groups"].value() == ["legume"]
    assert started == []
    assert not FoodImport.objects.exists()


def test_a_file_that_is_too_large_is_refused(signed_in, started, tmp_path, monkeypatch):
    monkeypatch.setattr(import_forms, "MOST_BYTES", 1000)
    zipped = SimpleUploadedFile("download.zip", packed(tmp_path, CSV).read_bytes())
    page = signed_in.post(NEW, {"upload": zipped})
    assertContains(page, "at most 1000\xa0bytes can be uploaded")
    assert started == []


def test_uploads_are_kept_beside_the_database(settings):
    assert Path(import_storage().location) == settings.DATA_DIR / "imports"


def test_only_the_newest_import_keeps_its_file(send, kept_files):
    first, second = send(dry_run="on"), send(dry_run="on")
    first.refresh_from_db()
    assert first.file.name == ""
    assert names_in(kept_files) == [second.file.name]


# While it runs


def test_a_running_import_shows_how_far_it_is_and_asks_again(signed_in):
    run = make_run(rows=240_000, percent=37)
    page = signed_in.get(run.get_absolute_url())
    assertContains(page, '<progress id="import-progress" max="100" value="37">37 %</progress>')
    assertContains(page, "240,000 rows")
    assertContains(page, f'hx-get="{run.get_absolute_url()}" hx-trigger="every 2s"')
    assertContains(page, f'<a href="{run.get_absolute_url()}">Look again</a>')


def test_the_fragment_is_the_changing_part_only(signed_in):
    run = make_run(percent=37)
    fragment = signed_in.get(run.get_absolute_url(), headers=FRAGMENT)
    assertTemplateUsed(fragment, "nutrients/_import_run.html")
    assertNotContains(fragment, "<html")
    assertContains(fragment, 'value="37"')
    assertContains(fragment, 'id="import-run"')


def test_the_fragment_of_a_done_run_asks_no_more(signed_in):
    run = make_run(state="done", report={"added": 5, "left_out": []})
    fragment = signed_in.get(run.get_absolute_url(), headers=FRAGMENT)
    assertContains(fragment, "Nothing: every food of the file was taken.")
    assertNotContains(fragment, "hx-get")


def test_while_it_writes_the_bar_has_no_number(signed_in):
    page = signed_in.get(make_run(step="writing", percent=100).get_absolute_url())
    assertContains(page, '<progress id="import-progress"></progress>')
    assertContains(page, "Comparing and writing.")


def test_the_run_writes_down_how_far_it_is(monkeypatch):
    monkeypatch.setattr(runs, "SECONDS_BETWEEN_NOTES", 0)
    run = make_run(seen_at=timezone.now() - timedelta(minutes=1))
    runs.Notes(run.pk)(40_000, 0.51)
    before = run.seen_at
    run.refresh_from_db()
    assert (run.rows, run.percent) == (40_000, 51)
    assert run.seen_at > before


def test_notes_are_made_from_time_to_time_only(django_assert_num_queries):
    notes = runs.Notes(make_run().pk)
    with django_assert_num_queries(0):
        for rows in range(100):
            notes(rows, 0.1)


def test_there_is_one_import_at_a_time(signed_in, started, tmp_path):
    make_run()
    zipped = SimpleUploadedFile("download.zip", packed(tmp_path, CSV).read_bytes())
    page = signed_in.post(NEW, {"upload": zipped})
    assertContains(page, "Another import is running.")
    assert started == []
    assert FoodImport.objects.count() == 1
    with pytest.raises(IntegrityError), transaction.atomic():
        make_run()


def test_a_run_that_is_not_heard_of_is_interrupted_and_can_be_started_again(
    signed_in, started, django_capture_on_commit_callbacks
):
    run = make_run(seen_at=timezone.now() - timedelta(minutes=4), file="kept.zip")
    page = signed_in.get(run.get_absolute_url())
    assertContains(page, "Interrupted")
    assertContains(page, "Start again")
    with django_capture_on_commit_callbacks(execute=True):
        signed_in.post(f"{run.get_absolute_url()}again/")
    again = FoodImport.objects.latest("pk")
    assert started == [again.pk]
    assert (again.state, again.file.name) == ("running", "kept.zip")
    run.refresh_from_db()
    assert (run.state, run.file.name) == ("interrupted", "")


def test_a_run_that_is_not_heard_of_stands_in_nobodys_way(send):
    make_run(seen_at=timezone.now() - timedelta(minutes=4))
    assert send().state == "done"


def test_a_run_heard_of_lately_goes_on(signed_in):
    run = make_run(seen_at=timezone.now() - timedelta(minutes=2))
    assertContains(signed_in.get(run.get_absolute_url()), "Running")


def test_a_done_import_is_not_started_again(signed_in, started, django_capture_on_commit_callbacks):
    run = make_run(state="done")
    with django_capture_on_commit_callbacks(execute=True):
        assertRedirects(signed_in.post(f"{run.get_absolute_url()}again/"), run.get_absolute_url())
    assert started == []


# The report


def test_what_was_left_out_can_be_downloaded(send, signed_in):
    run = send()
    answer = signed_in.get(f"{run.get_absolute_url()}left-out.csv")
    assert answer["Content-Disposition"] == f'attachment; filename="left-out-{run.pk}.csv"'
    header, *lines = csv.reader(io.StringIO(answer.content.decode()))
    assert header == ["reason", "count", "example"]
    assert [CURATED, "1", "Cheese, cheddar, test"] in lines
    assert len(lines) == 7


def test_earlier_imports_are_listed(signed_in, practitioner):
    make_run(state="done", dry_run=True, started_by=practitioner, name="april.zip")
    page = signed_in.get(NEW)
    assertContains(page, "april.zip")
    assertContains(page, "Done, dry run")


@pytest.mark.parametrize("role", ["staff", "viewer"])
def test_only_a_practitioner_may(client, request, started, role):
    client.force_login(request.getfixturevalue(role))
    run = make_run(state="interrupted", file="kept.zip")
    for path in (NEW, run.get_absolute_url(), f"{run.get_absolute_url()}left-out.csv"):
        assert client.get(path).status_code == 403
    assert client.post(NEW).status_code == 403
    assert client.post(f"{run.get_absolute_url()}again/").status_code == 403
    assert started == []
