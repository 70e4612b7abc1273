"""A photo as it is kept: decoded and drawn anew, so nothing is in it but the picture."""

from __future__ import annotations

import io

from PIL import Image, ImageOps, UnidentifiedImageError

FORMATS = ("JPEG", "PNG", "WEBP")
LARGEST_PIXELS_COUNT = 60_000_000
LONGEST_SIDE_COUNT = 2048
QUALITY_PERCENT = 85


class NoPhoto(ValueError):
    """What was sent cannot be kept as a photo; as text it says why."""


def redrawn(sent: bytes) -> bytes:
    """The picture that was sent as a JPEG without place, time, maker or any other note. Raises NoPhoto."""
    try:
        with Image.open(io.BytesIO(sent), formats=FORMATS) as image:
            if image.width * image.height > LARGEST_PIXELS_COUNT:
                raise NoPhoto("it has over 60 million points; send it smaller")
            image.draft("RGB", (LONGEST_SIDE_COUNT, LONGEST_SIDE_COUNT))
            upright = ImageOps.exif_transpose(image)
            upright.thumbnail((LONGEST_SIDE_COUNT, LONGEST_SIDE_COUNT))
            picture = _on_white(upright)
    except UnidentifiedImageError as wrong:
        raise NoPhoto("it is not a JPEG, PNG or WebP image") from wrong
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as wrong:
        raise NoPhoto("it has over 60 million points; send it smaller") from wrong
    except (OSError, SyntaxError, ValueError, EOFError) as wrong:
        raise wrong if isinstance(wrong, NoPhoto) else NoPhoto("the image in it is broken") from wrong
    drawn = io.BytesIO()
    picture.save(drawn, "JPEG", quality=QUALITY_PERCENT)
    return drawn.getvalue()


def _on_white(image: Image.Image) -> Image.Image:
    """The points alone, on a white ground where the image lets it through."""
    over = image.convert("RGBA")
    ground = Image.new("RGBA", over.size, "white")
    ground.alpha_composite(over)
    return ground.convert("RGB")
