"""The main job as the technician does it: from the sign-in to the downloaded sheet and the re-check."""

import hashlib
import re

import pytest
from playwright.sync_api import expect

from tests.browser.program import SIZES


def test_from_sign_in_to_the_sheet_in_the_owners_hand(signed_in_page, complaints, tmp_path):
    page = signed_in_page
    expect(page.get_by_role("heading", level=1)).to_contain_text("1 call to make")

    page.get_by_role("link", name="Juniper", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("18.4 kg, BCS 7")
    # RER = 70 x 18.4^0.75 = 621.9 kcal (Small Animal Clinical Nutrition, 5th ed., Table 5-2)
    expect(page.locator("#energy")).to_contain_text("622 kcal")

    page.get_by_role("link", name="Make a plan").first.click()
    page.get_by_label("Recipe", exact=True).select_option(label="Turkey, barley and pumpkin, version 1")
    page.get_by_label("Goal").select_option("lose")
    page.get_by_label("Target weight", exact=True).fill("15.3")
    page.get_by_label("kcal a day, by hand").fill("560")
    page.get_by_label("Why outside the published range").fill("Lost steadily on it before.")
    page.get_by_label("Days per batch").fill("4")
    preview = page.locator(".consequence")
    expect(preview).to_contain_text("560")
    page.get_by_role("button", name="Save plan").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("560 kcal")

    page.get_by_label("I have read this and accept it").check()  # doses too small for a scale of whole grams
    page.get_by_role("button", name=re.compile("Issue")).click()
    with page.expect_download() as waiting:
        page.get_by_role("link", name=re.compile("Download|PDF")).first.click()
    path = tmp_path / "sheet.pdf"
    waiting.value.save_as(path)
    assert path.read_bytes().startswith(b"%PDF-")
    checksum = hashlib.sha256(path.read_bytes()).hexdigest()
    expect(page.locator("main")).to_contain_text(checksum[:12])
    assert complaints == []


def test_a_recheck_is_recorded_in_pounds(signed_in_page, complaints):
    page = signed_in_page
    page.get_by_role("link", name="Pepper", exact=True).click()
    page.get_by_role("link", name="Record visit").first.click()
    page.get_by_label("Weight", exact=True).fill("18.1")
    page.get_by_label("Unit of the weight").select_option("lb")
    page.get_by_label("Body condition score (BCS)").fill("5")
    page.get_by_role("button", name="Save visit").click()
    # 18.1 lb x 0.45359237 kg (NIST SP 811) = 8.21 kg
    expect(page.get_by_role("heading", level=1)).to_contain_text("8.21 kg")
    assert complaints == []


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("path", ["/", "/patients/", "/patients/1/", "/recipes/", "/recipes/1/", "/foods/"])
def test_pages_fit_the_screen(signed_in_page, program, complaints, size, path):
    page = signed_in_page
    page.set_viewport_size(SIZES[size])
    page.goto(program + path)
    wider = page.evaluate("() => document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert wider <= 0
    assert complaints == []
