"""What a phone sends as a photo: drawn anew, stripped, or turned away."""

import io
import struct
import zlib

import pytest
from drawn_photos import jpeg
from PIL import Image

from ampwright.deliver.web.images import NoPhoto, redrawn


def bomb():
    """A PNG of a few hundred bytes that says it is 60,000 points wide and high."""
    def chunk(kind, told):
        return struct.pack(">I", len(told)) + kind + told + struct.pack(">I", zlib.crc32(kind + told))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 0, 0, 0, 0)
    points = zlib.compress(b"\0" * 1000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", points) + chunk(b"IEND", b"")


def test_place_maker_and_all_other_notes_are_gone_and_the_picture_stands():
    sent = jpeg(3)
    assert b"Invented Maker" in sent
    kept = redrawn(sent)
    with Image.open(io.BytesIO(kept)) as image:
        assert not image.getexif()
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert max(image.size) == 2048
    assert b"Invented Maker" not in kept
    assert b"Exif" not in kept


def test_a_photo_taken_sideways_stands_upright():
    notes = Image.Exif()
    notes[0x0112] = 6
    sent = io.BytesIO()
    Image.new("RGB", (400, 300), "red").save(sent, "JPEG", exif=notes)
    with Image.open(io.BytesIO(redrawn(sent.getvalue()))) as image:
        assert image.size == (300, 400)


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_what_lets_the_ground_through_lies_on_white(kind):
    sent = io.BytesIO()
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(sent, kind)
    with Image.open(io.BytesIO(redrawn(sent.getvalue()))) as image:
        assert image.getpixel((10, 10)) == (255, 255, 255)


@pytest.mark.parametrize("sent", [b"<html><script>alert(1)</script>", b"", b"\xff\xd8\xff\xe0" + b"x" * 500,
                                  b"GIF89a" + b"\0" * 50, b"<svg xmlns='http://www.w3.org/2000/svg'/>", jpeg()[:3000],
                                  bomb()],
                         ids=["page", "empty", "head alone", "gif", "svg", "cut short", "bomb"])  # fmt: skip
def test_what_is_no_photo_is_turned_away(sent):
    with pytest.raises(NoPhoto):
        redrawn(sent)


def posted(client, terrace, *files, path="supply.ze_ohm", operation="photo-00000001"):
    given = [("photo", (name, content, "image/jpeg")) for name, content in files]
    return client.post(f"{terrace}/photos", data={"path": path, "operation": operation}, files=given,
                       headers={"origin": "http://localhost:8722"}, follow_redirects=False)  # fmt: skip


def test_a_photo_is_on_its_part_and_in_the_list(client, terrace):
    assert posted(client, terrace, ("a.jpg", jpeg())).status_code == 303
    assert posted(client, terrace, ("a.jpg", jpeg())).status_code == 303
    assert client.get(f"{terrace}/photos").text.count("<img") == 1
    assert client.get(f"{terrace}/part/cut-out").text.count("<img") == 1
    assert client.get(f"{terrace}/part/board").text.count("<img") == 0
    image = client.get(f"{terrace}/photos/photo-00000001")
    assert image.headers["content-type"] == "image/jpeg"
    assert b"Invented Maker" not in image.content


def test_one_bad_file_keeps_all_of_them_out_and_each_fault_is_said(client, terrace):
    answer = posted(client, terrace, ("good.jpg", jpeg()), ("page.jpg", b"<html>"), path="nothing.such")
    assert answer.status_code == 422
    assert "page.jpg" in answer.text
    assert "which reading" in answer.text
    assert "no photo yet" in client.get(f"{terrace}/photos").text


def test_another_jobs_photo_is_not_to_be_had(client, terrace):
    posted(client, terrace, ("a.jpg", jpeg()))
    assert client.get("/jobs/0000000000000000/photos/photo-00000001").status_code == 404


def test_too_large_is_refused_before_it_is_read(client, terrace):
    assert posted(client, terrace, ("a.jpg", b"\0" * (25 * 1024 * 1024))).status_code == 413


def test_the_worker_names_every_file_of_the_shell(client):
    told = client.get("/sw.js")
    assert told.headers["content-type"].startswith("text/javascript")
    for name in ("/static/style.css", "/static/offline.js", "/static/outbox.js", "/unsent"):
        assert f'"{name}"' in told.text
        assert client.get(name).status_code == 200
