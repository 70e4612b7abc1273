"""Photographs drawn by the tests, with a place and a maker in them as a phone writes them."""

import io

from PIL import Image


def jpeg(number: int = 0, size: tuple[int, int] = (2400, 1800)) -> bytes:
    """A JPEG whose colours depend on its number, with a GPS place, a maker and an orientation."""
    image = Image.radial_gradient("L").resize(size).convert("RGB")
    image.paste((number * 8 % 256, 90, 160), (0, 0, size[0] // 2, size[1] // 2))
    notes = Image.Exif()
    notes[0x010F] = "Invented Maker"
    notes[0x0112] = 1
    notes.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)})
    kept = io.BytesIO()
    image.save(kept, "JPEG", exif=notes)
    return kept.getvalue()
