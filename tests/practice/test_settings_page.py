"""The practice's particulars: changed by a practitioner, mended when something is wrong."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from patients import photos
from practice import logos
from practice.models import PracticeProfile

pytestmark = pytest.mark.django_db
TYPED = {
    "name": "Quillmarsh Canine Nutrition", "address": "7 Ropewalk", "phone": "01 555 0100",
    "email": "kitchen@example.org", "paper": "letter", "recheck_days": "14",
    "accent": "sea", "puppy_days": "14", "loss_days": "28", "adult_days": "182",
}  # fmt: skip


def test_a_practitioner_saves_the_particulars(signed_in):
    assert signed_in.post("/settings/", TYPED).status_code == 302
    profile = PracticeProfile.objects.get()
    assert (profile.name, profile.paper, profile.recheck_days) == (
        "Quillmarsh Canine Nutrition",
        "letter",
        14,
    )
    assert "Quillmarsh Canine Nutrition" in signed_in.get("/").content.decode()


def test_saving_again_changes_the_one_practice_and_keeps_its_history(signed_in):
    signed_in.post("/settings/", TYPED)
    signed_in.post("/settings/", TYPED | {"name": "Sallow Bridge Kitchen"})
    profile = PracticeProfile.objects.get()
    assert [entry.name for entry in profile.history.all()] == [
        "Sallow Bridge Kitchen", "Quillmarsh Canine Nutrition",
    ]  # fmt: skip
    assert profile.history.first().history_user.username == "robin"


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"name": ""}, "name"),
        ({"email": "no address"}, "email"),
        ({"recheck_days": "0"}, "recheck_days"),
        ({"recheck_days": "366"}, "recheck_days"),
        ({"paper": "A5"}, "paper"),
        ({"accent": "pink"}, "accent"),
        ({"puppy_days": "0"}, "puppy_days"),
        ({"adult_days": "366"}, "adult_days"),
        ({"sheets_kept_years": "51"}, "sheets_kept_years"),
    ],
)
def test_bad_input_is_said_beside_the_field_and_kept(signed_in, typed, field):
    answer = signed_in.post("/settings/", TYPED | typed)
    assert answer.status_code == 200
    page = answer.content.decode()
    assert f'id="id_{field}_error"' in page
    assert "7 Ropewalk" in page
    assert not PracticeProfile.objects.exists()


def test_how_long_records_are_kept_is_not_decided_until_it_is_said(signed_in):
    signed_in.post("/settings/", TYPED | {"sheets_kept_years": "0"})
    profile = PracticeProfile.objects.get()
    assert (profile.sheets_kept_years, profile.sign_offs_kept_years) == (0, None)


def test_staff_and_viewers_do_not_change_the_practice(client, staff, viewer):
    for user in (staff, viewer):
        client.force_login(user)
        assert client.get("/settings/").status_code == 403
        assert client.post("/settings/", TYPED).status_code == 403
    assert not PracticeProfile.objects.exists()


def picture(size=(1200, 400), kind="PNG") -> bytes:
    drawn = io.BytesIO()
    Image.new("RGBA", size, (20, 90, 60, 128)).save(drawn, kind)
    return drawn.getvalue()


@pytest.fixture
def stored_in(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "media"
    return settings.MEDIA_ROOT


def test_a_logo_is_made_small_stored_and_left_out_again(signed_in, stored_in):
    upload = SimpleUploadedFile("logo.png", picture(), "image/png")
    assert signed_in.post("/settings/", TYPED | {"new_logo": upload}).status_code == 302
    profile = PracticeProfile.objects.get()
    with Image.open(stored_in / profile.logo) as logo:
        assert (logo.format, logo.size, logo.mode) == ("PNG", (900, 300), "RGBA")
    assert "Print no logo" in signed_in.get("/settings/").content.decode()
    signed_in.post("/settings/", TYPED)
    assert PracticeProfile.objects.get().logo == profile.logo  # saving something else leaves it
    signed_in.post("/settings/", TYPED | {"without_logo": "on"})
    assert PracticeProfile.objects.get().logo == ""
    assert (stored_in / profile.logo).exists()  # issued sheets name it still


@pytest.mark.parametrize(
    "content", [b"<svg onload=alert(1)>", b"<html>", b"", picture()[:400], b"GIF89a" + bytes(50)]
)
def test_what_is_no_picture_is_refused_beside_the_field(signed_in, stored_in, content):
    answer = signed_in.post("/settings/", TYPED | {"new_logo": SimpleUploadedFile("logo.png", content)})
    assert (answer.status_code, 'id="id_new_logo_error"' in answer.content.decode()) == (200, True)
    assert not stored_in.exists()


def test_a_huge_picture_is_refused(monkeypatch):
    monkeypatch.setattr(photos, "MOST_PIXELS", 100)
    with pytest.raises(ValueError, match="million points"):
        logos.small_png(picture())
