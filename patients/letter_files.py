"""What an uploaded letter really is, by its content and never by its name. Pure."""

import io

import pikepdf
from PIL import Image

MOST_BYTES = 10 * 1024 * 1024
IMAGES = {"PNG": "image/png", "JPEG": "image/jpeg"}
ENDINGS = {"application/pdf": "pdf", "image/png": "png", "image/jpeg": "jpg"}


def kind_of(content: bytes) -> str:
    """The media type of a PDF, PNG or JPEG. Raises ValueError, with a sentence, for anything else."""
    if content.startswith(b"%PDF-"):
        _check_pdf(content)
        return "application/pdf"
    try:
        with Image.open(io.BytesIO(content), formats=tuple(IMAGES)) as picture:
            picture.verify()
            return IMAGES[picture.format]
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError):
        raise ValueError("This is no PDF, PNG or JPEG that can be read: scan the letter again.") from None


def _check_pdf(content: bytes) -> None:
    try:
        with pikepdf.open(io.BytesIO(content)) as document:
            pages = len(document.pages)
    except pikepdf.PasswordError:
        raise ValueError("This PDF is locked with a password: save it without one.") from None
    except pikepdf.PdfError:
        raise ValueError("This PDF is damaged: ask for it again, or scan the letter.") from None
    if not pages:
        raise ValueError("This PDF has no page: ask for it again, or scan the letter.")
