"""An uploaded photo made into a small JPEG, judged by its content and never by its name. Pure."""

import io
from collections.abc import Callable

from PIL import Image, ImageOps

MOST_BYTES = 10 * 1024 * 1024
MOST_PIXELS = 50_000_000  # common practice, no source: what the largest telephone cameras take
LONGEST_SIDE = 800
QUALITY = 82
FORMATS = ("JPEG", "PNG", "WEBP")
NO_PHOTO = "This is no JPEG, PNG or WebP picture that can be read: choose another, or save it as JPEG."


def small_jpeg(content: bytes) -> bytes:
    """The photo upright, at most LONGEST_SIDE pixels long, without what the camera wrote into it.

    Raises ValueError, with a sentence, for a file that is no such picture or too large a one.
    """
    return redrawn(content, _small)


def redrawn(content: bytes, draw: Callable[[Image.Image], bytes]) -> bytes:
    """What `draw` makes of an uploaded picture. Raises ValueError as `small_jpeg` does."""
    if len(content) > MOST_BYTES:
        raise ValueError(f"A picture may have at most {MOST_BYTES // 1024**2} MB: save it smaller.")
    try:
        with Image.open(io.BytesIO(content), formats=FORMATS) as picture:
            picture.verify()  # the printer of pages lets Pillow draw what is damaged
        with Image.open(io.BytesIO(content), formats=FORMATS) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise ValueError(f"This picture has more than {MOST_PIXELS // 10**6} million points.")
            return draw(picture)
    except (OSError, SyntaxError, Image.DecompressionBombError):
        raise ValueError(NO_PHOTO) from None


def _small(picture: Image.Image) -> bytes:
    """Shrunk before anything else is made of it: a large picture is never held twice."""
    picture.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
    if picture.mode == "P":  # a palette's colours cannot be mixed
        picture = picture.convert("RGBA")
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    upright = ImageOps.exif_transpose(picture).convert("RGBA")
    plain = Image.new("RGB", upright.size, "white")
    plain.paste(upright, mask=upright)
    written = io.BytesIO()
    plain.save(written, "JPEG", quality=QUALITY, optimize=True)
    return written.getvalue()
