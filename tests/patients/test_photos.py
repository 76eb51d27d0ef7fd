"""Uploaded photos: made small, without what the camera wrote, and everything else refused."""

import io

import pytest
from PIL import Image

from patients.photos import LONGEST_SIDE, MOST_BYTES, small_jpeg

PLACE = 0x8825  # Exif: the tag that holds where a picture was taken
ORIENTATION = 0x0112


def picture(kind="JPEG", size=(1600, 900), colour="sienna", mode="RGB", **options) -> bytes:
    written = io.BytesIO()
    Image.new(mode, size, colour).save(written, kind, **options)
    return written.getvalue()


def opened(jpeg: bytes) -> Image.Image:
    return Image.open(io.BytesIO(jpeg))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_picture_becomes_a_small_jpeg(kind):
    small = opened(small_jpeg(picture(kind)))
    assert (small.format, small.size) == ("JPEG", (LONGEST_SIDE, 450))  # 900 of 1600, at 800


def test_a_small_picture_is_not_blown_up():
    assert opened(small_jpeg(picture(size=(120, 80)))).size == (120, 80)


def test_what_the_camera_wrote_is_left_behind_and_the_picture_stands_upright():
    exif = Image.Exif()
    exif[ORIENTATION] = 6  # to be turned by a quarter
    exif.get_ifd(PLACE)[1] = "N"
    exif[0x010F] = "a camera"
    sent = picture(exif=exif)
    assert opened(sent).getexif()[ORIENTATION] == 6
    small = opened(small_jpeg(sent))
    assert small.size == (450, 800)
    assert not dict(small.getexif())
    assert b"a camera" in sent
    assert b"a camera" not in small_jpeg(sent)


def test_what_is_transparent_becomes_white():
    clear = small_jpeg(picture("PNG", (10, 10), (0, 0, 0, 0), "RGBA"))
    assert opened(clear).getpixel((5, 5)) == (255, 255, 255)


@pytest.mark.parametrize("mode", ["L", "1", "P", "CMYK"])
def test_other_kinds_of_colour(mode):
    kind = "JPEG" if mode == "CMYK" else "PNG"
    assert opened(small_jpeg(picture(kind, mode=mode, colour=0))).mode == "RGB"


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
        b"<html><script>alert(1)</script>",
        b"%PDF-1.7",
        b"MZ\x90\x00 a program",
        picture()[:400],
        picture("GIF", mode="P", colour=0),
        picture("PNG")[:100] + b"broken" + picture("PNG")[106:],
    ],
)
def test_disguised_and_damaged_files_are_refused(content):
    with pytest.raises(ValueError, match="no JPEG, PNG or WebP picture"):
        small_jpeg(content)


def test_a_file_that_is_too_large_is_refused_before_it_is_opened():
    with pytest.raises(ValueError, match="at most 10 MB"):
        small_jpeg(picture() + bytes(MOST_BYTES))


def test_a_small_file_of_far_too_many_points_is_refused():
    bomb = picture("PNG", (9000, 6000), 0, "L")
    assert len(bomb) < 100_000
    with pytest.raises(ValueError, match="more than 50 million points"):
        small_jpeg(bomb)


def test_a_large_picture_is_not_held_twice():
    """49 million points: 147 MB as RGB; with a second copy in RGBA it would be 343 MB and more."""
    import subprocess
    import sys

    script = (
        "import io, resource\n"
        "from PIL import Image\n"
        "from patients.photos import small_jpeg\n"
        "written = io.BytesIO()\n"
        "Image.new('RGB', (7000, 7000), 'green').save(written, 'PNG')\n"
        "before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "small_jpeg(written.getvalue())\n"
        "print((resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024)"
    )
    said = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert int(said.stdout) < 120  # above making the picture itself, in MB
