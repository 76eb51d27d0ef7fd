"""Make the README's pictures from the running program: `.venv/bin/python -m tests.browser.pictures`."""

import tempfile
from pathlib import Path

import pypdfium2
from playwright.sync_api import Page, sync_playwright

from tests.browser.program import LAUNCH, ROOT, running_program, sign_in

PICTURES = ROOT / "static" / "pictures"
SHEET_SCALE = 1.4  # times 72 dots per inch


def make_pictures(page: Page, address: str) -> None:
    sign_in(page, address)
    page.set_viewport_size({"width": 1280, "height": 1100})
    sheet = issue_sheet(page)
    page.get_by_role("link", name="Patients").click()
    page.get_by_role("link", name="Juniper", exact=True).click()
    page.screenshot(path=PICTURES / "patient.png", caret="initial")
    page.get_by_role("link", name="Recipes").click()
    page.get_by_role("link", name="Turkey, barley and pumpkin").click()
    page.locator("#adequacy").scroll_into_view_if_needed()
    page.screenshot(path=PICTURES / "recipe.png", caret="initial")
    pypdfium2.PdfDocument(sheet)[0].render(scale=SHEET_SCALE).to_pil().save(PICTURES / "sheet.png")


def issue_sheet(page: Page) -> bytes:
    """A sheet for Juniper, as PDF."""
    page.get_by_role("link", name="Juniper", exact=True).click()
    page.get_by_role("link", name="Make a plan").first.click()
    page.get_by_label("Recipe", exact=True).select_option(label="Turkey, barley and pumpkin, version 1")
    page.get_by_label("Goal").select_option("lose")
    page.get_by_label("Target weight", exact=True).fill("15.3")
    page.get_by_label("kcal a day, by hand").fill("560")
    page.get_by_label("Why outside the published range").fill("Lost steadily on it before.")
    page.get_by_role("button", name="Save plan").click()
    page.get_by_role("button", name="Issue take-home sheet").click()
    with page.expect_download() as waiting:
        page.get_by_role("link", name="PDF").first.click()
    return Path(waiting.value.path()).read_bytes()


if __name__ == "__main__":
    with (
        tempfile.TemporaryDirectory() as folder,
        running_program(Path(folder)) as place,
        sync_playwright() as playwright,
    ):
        make_pictures(playwright.chromium.launch(**LAUNCH).new_page(), place)
