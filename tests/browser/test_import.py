"""A download that is brought in by the running program, watched in a browser."""

from playwright.sync_api import expect

from tests.bench.bench_import import make_download
from tests.nutrients.usda_files import packed

FOODS = 300


def test_an_import_runs_beside_the_page(signed_in_page, program, complaints, tmp_path):
    """The page shows how far it is and turns into the report by itself."""
    download = tmp_path / "made"
    download.mkdir()
    make_download(download, foods=FOODS, branded=20_000)
    page = signed_in_page
    page.goto(f"{program}/foods/import/")
    page.get_by_label("The zip file, as it was downloaded").set_input_files(packed(tmp_path, download))
    page.get_by_label("Dry run: check and count, and write nothing").uncheck()
    page.get_by_role("button", name="Start").click()
    expect(page.get_by_role("heading", name="Running")).to_be_visible()
    expect(page.get_by_role("progressbar")).to_be_visible()
    expect(page.get_by_role("heading", name="Done", exact=True)).to_be_visible(timeout=60_000)
    expect(page.get_by_role("row", name="Foods")).to_contain_text(str(FOODS))
    expect(page.get_by_role("row", name="branded food")).to_contain_text("20,000")
    page.goto(f"{program}/foods/?q=okra+kind")
    expect(page.get_by_role("link", name="Okra, kind 2, cooked, boiled")).to_be_visible()
    assert complaints == []
