"""The card to print: what it says stands in the record, on either paper."""

import io

import pdfplumber
import pytest
from django.urls import reverse
from django.utils import timezone

from recipes.models import KitchenStep
from tests import cast

pytestmark = pytest.mark.django_db
TURKEY = "Ground turkey, 93% lean, raw"
POINTS_PER_INCH = 72


@pytest.fixture
def version(practitioner):
    version = cast.make_recipe("Stew <i>& more", {TURKEY: 512.5}, vessel="4-litre pot", cooked_weight_g=480)
    KitchenStep.objects.create(version=version, text="Simmer until done.", minutes=20, temperature_c=74)
    version.approved_by, version.approved_at = practitioner, timezone.now()
    version.save()
    return version


def card(client, version, **query) -> tuple[str, tuple[float, float], int]:
    answer = client.get(reverse("recipes:version-card", args=[version.pk]), query)
    assert answer.status_code == 200
    with pdfplumber.open(io.BytesIO(answer.content)) as pdf:
        text = "\n".join(page.extract_text() for page in pdf.pages)
        return text, (float(pdf.pages[0].width), float(pdf.pages[0].height)), len(pdf.pages)


def test_the_card_says_what_the_version_says(signed_in, version):
    text, _, pages = card(signed_in, version)
    for said in ("Stew <i>& more", TURKEY, "512.5 g", "4-litre pot", "Simmer until done. 20 minutes."):
        assert said in text
    assert "Reach 74 °C (165 °F) inside." in text  # USDA FSIS: poultry, 165 °F
    assert "480 g" in text
    assert "as weighed" in text
    assert "Not approved" not in text
    assert pages <= 2


def test_the_card_names_every_open_limit(signed_in, version):
    """Turkey alone brings next to no calcium: USDA SR28, 21 mg in 100 g, against 1.25 g per 1000 kcal."""
    text, *_ = card(signed_in, version)
    assert "Calcium" in text
    assert "Below minimum" in text


def test_a_draft_says_that_it_is_not_to_be_fed(signed_in):
    text, *_ = card(signed_in, cast.make_recipe("Draft", {TURKEY: 100}))
    assert "Not approved: do not feed it as it stands." in text


@pytest.mark.parametrize(
    ("paper", "inches"), [("a4", (8.27, 11.69)), ("letter", (8.5, 11)), ("moon", (8.27, 11.69))]
)
def test_the_paper_is_as_asked(signed_in, version, paper, inches):
    """ISO 216: A4 is 210 x 297 mm; US Letter is 8.5 x 11 in (ANSI/ASME Y14.1)."""
    _, size, _ = card(signed_in, version, paper=paper)
    assert size == pytest.approx([inch * POINTS_PER_INCH for inch in inches], abs=1)


def test_a_version_without_energy_still_has_a_card(signed_in):
    text, *_ = card(signed_in, cast.make_recipe("Water", {"Calcium carbonate powder": 5}))
    assert "Nothing can be worked out" in text


def test_without_the_drawing_library_it_says_so(signed_in, version, monkeypatch):
    from recipes.printing import PdfUnavailable
    from recipes.views import card as view

    def unavailable(*_, **__):
        raise PdfUnavailable("The PDF needs Pango, which is not installed on this computer.")

    monkeypatch.setattr(view, "printed", unavailable)
    answer = signed_in.get(reverse("recipes:version-card", args=[version.pk]))
    assert answer.status_code == 503
    assert "Pango" in answer.content.decode()
