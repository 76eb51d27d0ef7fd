"""The practice's logo: made small, and stored beside the database under a name of its content.

A stored logo is never taken away: sheets that were issued with it can be printed again.
"""

import io
from hashlib import sha256

from django.conf import settings
from PIL import Image

from patients.photos import redrawn

LARGEST = (900, 300)  # points: sharp at the size in which it is printed


def small_png(content: bytes) -> bytes:
    """The picture at most LARGEST, what is clear in it kept. Raises ValueError, with a sentence."""
    return redrawn(content, _small)


def _small(picture: Image.Image) -> bytes:
    picture.draft("RGB", LARGEST)
    drawn = picture.convert("RGBA")
    drawn.thumbnail(LARGEST)
    written = io.BytesIO()
    drawn.save(written, "PNG", optimize=True)
    return written.getvalue()


def store(png: bytes) -> str:
    """The name under which it is stored."""
    name = f"logo-{sha256(png).hexdigest()[:16]}.png"
    settings.MEDIA_ROOT.mkdir(parents=True, exist_ok=True)
    (settings.MEDIA_ROOT / name).write_bytes(png)
    return name
