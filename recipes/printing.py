"""Pages printed as PDF/UA, from a template and what it is given alone.

The renderer reads nothing but the project's own static files and the practice's stored images; a file that
is missing stops it, so that nothing goes out unstyled.
"""

import io
import mimetypes
from collections.abc import Callable, Mapping
from pathlib import Path
from threading import Lock
from urllib.parse import unquote, urlsplit

from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.exceptions import SuspiciousFileOperation
from django.template.loader import render_to_string
from django.utils._os import safe_join

HOME = "https://print.invalid/"  # where relative addresses in the template begin; nothing there is asked for
STATIC, STORED = "/static/", "/stored/"
VARIANT = "pdf/ua-1"
# Settings of the stylesheet, and how many pages a long text takes in each, of those in the closest one:
# measured on take-home sheets, to lay out none in vain.
SETTINGS = {"roomy": 1.5, "snug": 1.33, "close": 1.0}
CLOSEST = "close"
FEW_PAGES = 2  # so few are laid out quickly, and their number says too little to tell another
PRINTED = 4  # the flag of an annotation that is printed
LOCK = Lock()  # one after another is quicker than side by side


class PdfUnavailable(Exception):
    """The libraries that draw the PDF are not installed on this computer."""


def printed(template: str, context: Mapping[str, object], most_pages: int | None = None) -> bytes:
    """The filled template as PDF, as roomy as it can be set on at most `most_pages`.

    Raises PdfUnavailable without Pango, FatalURLFetchingError for a missing file.
    """
    weasyprint = _weasyprint()

    def laid_out(setting: str):
        html = render_to_string(template, {**context, "setting": setting})
        page = weasyprint.HTML(string=html, base_url=HOME, url_fetcher=_fetcher())
        return page.render(pdf_variant=VARIANT)

    with LOCK:
        document = roomiest(laid_out, most_pages)
        return _finished(document.write_pdf(pdf_variant=VARIANT))


def roomiest(laid_out: Callable[[str], object], most_pages: int | None):
    """The document in the roomiest setting that stays within the pages; in the closest when none does.

    laid_out: setting -> something with `pages`. A long text is laid out twice at most.
    """
    if most_pages is None:
        return laid_out(next(iter(SETTINGS)))
    if most_pages <= FEW_PAGES:
        for setting in SETTINGS:
            document = laid_out(setting)
            if len(document.pages) <= most_pages:
                break
        return document
    closest = laid_out(CLOSEST)
    likely = (setting for setting, share in SETTINGS.items() if share * len(closest.pages) <= most_pages)
    setting = next(likely, CLOSEST)
    document = closest if setting == CLOSEST else laid_out(setting)
    return document if len(document.pages) <= most_pages else closest


def _weasyprint():
    """Imported when first needed: the other pages run without its libraries."""
    try:
        import weasyprint
    except OSError as missing:
        raise PdfUnavailable("The PDF needs Pango, which is not installed on this computer.") from missing
    return weasyprint


def own_file(url: str) -> Path:
    """The file that an address of the template stands for. Raises ValueError for any other address."""
    address = urlsplit(url)
    path = unquote(address.path)
    found = None
    if address.scheme == "https" and url.startswith(HOME):
        try:
            if path.startswith(STATIC):
                found = finders.find(path.removeprefix(STATIC))
            elif path.startswith(STORED):
                found = safe_join(settings.MEDIA_ROOT, path.removeprefix(STORED))
        except SuspiciousFileOperation:
            found = None
    if not found or not Path(found).is_file():
        raise ValueError(f"{url} is not a file of this program or this practice.")
    return Path(found)


def stored_address(name: str | None) -> str:
    """Where a template finds a stored picture; empty when there is none, or it is gone."""
    if not name:
        return ""
    try:
        own_file(f"{HOME.rstrip('/')}{STORED}{name}")
    except ValueError:
        return ""
    return f"{STORED}{name}"


def _fetcher():
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class OwnFiles(URLFetcher):
        """Hands out our own files; anything else stops the rendering."""

        def __init__(self):
            super().__init__(allowed_protocols=("https",), fail_on_errors=True)

        def fetch(self, url, headers=None):
            path = own_file(url)
            kind = mimetypes.guess_type(path)[0] or "application/octet-stream"
            return URLFetcherResponse(url, path.read_bytes(), {"Content-Type": kind})

    return OwnFiles()


def _finished(written: bytes) -> bytes:
    """With what PDF/UA asks for beyond the renderer: header cells say whether they head a column or a row,
    and links are printed as they are shown.
    """
    import pikepdf

    with pikepdf.open(io.BytesIO(written)) as document:
        _mark_headers(document.Root.StructTreeRoot, "/Row", pikepdf)
        for page in document.pages:
            for annotation in page.get("/Annots", ()):
                annotation.F = PRINTED
        marked = io.BytesIO()
        document.save(marked, deterministic_id=True)
    return marked.getvalue()


def _mark_headers(element, scope: str, pikepdf) -> None:
    kind = str(element.get("/S", ""))
    if kind == "/THead":
        scope = "/Column"
    if kind == "/TH":
        attributes = element.get("/A", pikepdf.Dictionary(O=pikepdf.Name.Table))
        attributes["/Scope"] = pikepdf.Name(scope)
        element["/A"] = attributes
        return
    children = element.get("/K", ())
    for child in children if isinstance(children, pikepdf.Array) else (children,):
        if isinstance(child, pikepdf.Dictionary):
            _mark_headers(child, scope, pikepdf)
