"""What the printer of pages may read."""

import io

import pytest
from django.core.files.storage import FileSystemStorage

from recipes import printing


@pytest.mark.parametrize(
    "url",
    [
        "https://example.org/static/css/sheet.css",
        "http://print.invalid/static/css/sheet.css",
        "file:///etc/passwd",
        "data:text/css,body{}",
        "https://print.invalid/static/../manage.py",
        "https://print.invalid/static/%2e%2e/manage.py",
        "https://print.invalid/stored/../secret_key",
        "https://print.invalid/static/css/none.css",
        "https://print.invalid/etc/passwd",
        "https://print.invalid.example.org/static/css/sheet.css",
    ],
)
def test_nothing_but_our_own_files_is_read(url):
    with pytest.raises(ValueError, match="not a file of this program"):
        printing.own_file(url)


def test_our_stylesheet_fonts_and_stored_images_are_found(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    FileSystemStorage(location=tmp_path).save("logo.svg", io.BytesIO(b"<svg/>"))
    for path in ("static/css/sheet.css", "static/fonts/SourceSansPro-Regular.otf", "stored/logo.svg"):
        assert printing.own_file(f"https://print.invalid/{path}").is_file()
