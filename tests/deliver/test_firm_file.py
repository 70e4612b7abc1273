"""`ampwright --firm FILE`: the firm typed once, whatever the command and the job."""

from __future__ import annotations

import io
import zipfile

from click.testing import CliRunner

from ampwright.deliver.cli import ampwright
from ampwright.deliver.store.store import Store
from ampwright.job.files import parse

FIRM = """version: 2
people: [{role: installer, name: B. Specimen, organisation: Specimen Electrical, registration: EXAMPLE-0001}]
"""
JOB = "version: 2\ntitle: A job\ndate: 2026-11-21\n"


def test_every_command_reads_the_firm_and_the_papers_hold_it(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "firm.yaml").write_text(FIRM, encoding="utf-8")
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    words = ["--firm", "firm.yaml", "papers", "job.yaml", "--only", "network", "--archive", "--to", "out"]
    run = CliRunner().invoke(ampwright, words)
    assert run.exit_code == 0, run.output
    told = (tmp_path / "out" / "job-network.txt").read_text()
    assert "Installer company name: Specimen Electrical" in told
    with zipfile.ZipFile(io.BytesIO((tmp_path / "out" / "job-archive.zip").read_bytes())) as packed:
        held = parse(packed.read("job.yaml").decode())
    assert held.people[0].organisation == "Specimen Electrical"

    run = CliRunner().invoke(ampwright, words[2:], env={"AMPWRIGHT_FIRM": "firm.yaml"})
    assert run.exit_code == 0, run.output
    assert (tmp_path / "out" / "job-network.txt").read_text() == told
    run = CliRunner().invoke(ampwright, words[2:])
    assert "Specimen Electrical" not in (tmp_path / "out" / "job-network.txt").read_text()


def test_a_firm_file_that_cannot_be_read_is_named(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "firm.yaml").write_text(JOB, encoding="utf-8")
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    run = CliRunner().invoke(ampwright, ["--firm", "firm.yaml", "assess", "job.yaml"])
    assert run.exit_code == 3
    assert "firm.yaml" in run.output
    assert "title" in run.output


def test_a_batch_and_what_is_taken_into_the_store_have_the_firm(place, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "firm.yaml").write_text(FIRM, encoding="utf-8")
    (tmp_path / "jobs" / "job.yaml").write_text(JOB, encoding="utf-8")
    firm = ["--firm", "jobs/firm.yaml"]
    words = ["batch", "jobs", "--step", "papers", "--processes", "1", "--store", str(place), "--out", "out"]
    run = CliRunner().invoke(ampwright, [*firm, *words])
    assert (run.exit_code, "1 done now" in run.output) == (0, True), run.output  # the firm's file is no job
    with zipfile.ZipFile(tmp_path / "out" / "job.papers.zip") as packed:
        assert "EXAMPLE-0001" in packed.read("job.yaml").decode()
    (tmp_path / "jobs" / "firm.yaml").write_text(FIRM.replace("0001", "0002"), encoding="utf-8")
    run = CliRunner().invoke(ampwright, [*firm, *words])
    assert "1 done now" in run.output  # another firm is another result

    run = CliRunner().invoke(ampwright, [*firm, "take-in", "jobs", "--store", str(place)])
    assert (run.exit_code, "1 jobs are in the store" in run.output) == (0, True), run.output
    store = Store(place)
    (name,) = store.names()
    assert store.read(name)[0].people[0].registration == "EXAMPLE-0002"
    store.close()
