"""The practice's particulars: changed by a practitioner, mended when something is wrong."""

import pytest

from practice.models import PracticeProfile

pytestmark = pytest.mark.django_db
TYPED = {
    "name": "Quillmarsh Canine Nutrition", "address": "7 Ropewalk", "phone": "01 555 0100",
    "email": "kitchen@example.org", "paper": "letter", "recheck_days": "14",
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
