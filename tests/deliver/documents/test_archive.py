"""The archive of a job, unpacked by unzip's reader in Python and proved by `sha256sum -c` of GNU coreutils."""

from __future__ import annotations

import datetime
import io
import subprocess
import zipfile

import pytest

from ampwright.deliver.documents.archive import SUMS, archive
from ampwright.deliver.documents.pack import Pack
from ampwright.job.files import parse

DAY = datetime.date(2026, 11, 21)
PAPERS = [("job-labels.pdf", b"%PDF-1.7 as printed"), ("job-network.csv", b"section,box\r\n")]
JOB = """version: 2
title: A job
date: 2026-11-21
photos:
  board: board 1.jpg
  meter: meter/plate.jpg
  wall: ../secret.jpg
  route: not there.jpg
  labels: back\\slash.jpg
"""


@pytest.fixture
def made(tmp_path):
    folder = tmp_path / "jobs"
    (folder / "meter").mkdir(parents=True)
    (tmp_path / "secret.jpg").write_bytes(b"not of this job")
    (folder / "board 1.jpg").write_bytes(b"a board")
    (folder / "meter" / "plate.jpg").write_bytes(b"a plate")
    (folder / "back\\slash.jpg").write_bytes(b"labels")
    pack = Pack(parse(JOB), DAY, folder=folder)
    return lambda: archive(pack, "job.yaml", JOB.encode(), PAPERS)


def unpacked(made, to):
    with zipfile.ZipFile(io.BytesIO(made)) as packed:
        assert packed.testzip() is None
        packed.extractall(to)
    return to


def checked(folder):
    command = ["sha256sum", "-c", "--strict", SUMS]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


def test_sha256sum_finds_every_file_as_it_was(made, tmp_path):
    folder = unpacked(made(), tmp_path / "x")
    done = checked(folder)
    assert (done.returncode, done.stderr) == (0, "")
    files = {each.relative_to(folder).as_posix() for each in folder.rglob("*") if each.is_file()}
    assert files == {"job.yaml", "beside/board 1.jpg", "beside/meter/plate.jpg", "papers/job-labels.pdf",
                     "papers/job-network.csv", "CONTENTS.txt", SUMS}  # fmt: skip
    assert set(done.stdout.splitlines()) == {f"{name}: OK" for name in files - {SUMS}}
    assert (folder / "job.yaml").read_text() == JOB
    assert (folder / "beside" / "board 1.jpg").read_bytes() == b"a board"


def test_sha256sum_finds_a_file_that_was_changed(made, tmp_path):
    folder = unpacked(made(), tmp_path / "x")
    (folder / "papers" / "job-labels.pdf").write_bytes(b"%PDF-1.7 as forged")
    done = checked(folder)
    assert done.returncode == 1
    assert "papers/job-labels.pdf: FAILED" in done.stdout


def test_what_is_not_beside_the_job_is_named_and_nothing_from_outside_is_taken(made, tmp_path):
    text = (unpacked(made(), tmp_path / "x") / "CONTENTS.txt").read_text()
    missing = text.split("not found beside the job file\n")[1]
    assert "the charge point: ../secret.jpg" in missing
    assert "not there.jpg" in missing
    assert "back\\slash.jpg" in missing
    assert "board 1.jpg" not in missing
    assert b"not of this job" not in made()
    assert "Archive of the job: A job\n" in text


def test_the_same_job_and_day_give_the_same_bytes(made):
    first = made()
    assert first == made()
    with zipfile.ZipFile(io.BytesIO(first)) as packed:
        assert {entry.date_time for entry in packed.infolist()} == {(2026, 11, 21, 0, 0, 0)}
        assert {entry.compress_type for entry in packed.infolist()} == {zipfile.ZIP_STORED}
        assert packed.namelist() == sorted(packed.namelist())


def test_by_command(tmp_path):
    from click.testing import CliRunner

    from ampwright.deliver.cli import ampwright

    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    words = ["papers", str(tmp_path / "job.yaml"), "--only", "labels", "--archive", "--to", str(tmp_path / "out")]
    run = CliRunner().invoke(ampwright, words)
    assert run.exit_code == 0, run.output
    folder = unpacked((tmp_path / "out" / "job-archive.zip").read_bytes(), tmp_path / "x")
    assert checked(folder).returncode == 0
    assert (folder / "papers" / "job-labels.pdf").read_bytes() == (tmp_path / "out" / "job-labels.pdf").read_bytes()
