"""`ampwright papers FILE --coverage`, run as a person runs it."""

from command import run

from ampwright.deliver.demo import FINISHED


def test_a_finished_job_has_every_box(folder):
    done = run("papers", FINISHED, "--coverage", cwd=folder)
    assert done.returncode == 0
    assert "423 of 423 compulsory boxes are filled, from 189 entries" in done.stdout
    assert "133 of this job" in done.stdout
    assert "2 of those who sign (drawn, not typed)" in " ".join(done.stdout.split())
    assert " 46 of 46  Electrical Installation Certificate" in done.stdout
    assert "STILL EMPTY" not in done.stdout


def test_a_job_from_photographs_says_who_owes_what(folder):
    done = run("papers", "terrace.yaml", "--coverage", cwd=folder)
    assert done.returncode == 2
    assert "of 380 compulsory boxes" in done.stdout  # neither a grant nor generation of this job's
    waits = done.stdout.split("STILL EMPTY, and who owes it")[1]
    inspector = waits.split("  the inspector\n")[1].split("\n  you")[0]
    assert "- R1+R2 (or R2) (paper 12)" in inspector
    assert "- Date(s) tested (papers 09, 10, 12, 13, 16)" in inspector
    assert "- Network-operator reference (papers 15, 22)" in waits.split("  the network operator\n")[1]
    assert all(len(line) <= 100 for line in done.stdout.splitlines())


def test_a_file_that_is_no_job_and_a_wrong_command_line(folder):
    (folder / "no_job.txt").write_text("nothing: here\n", encoding="utf-8")
    assert run("papers", "no_job.txt", "--coverage", cwd=folder).returncode == 3
