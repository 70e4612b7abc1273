"""`ampwright tests`, run as a person runs it."""

import json

from command import run

TERRACE = "terrace.yaml"


def sheet_of(folder, lines):
    text = (folder / TERRACE).read_text(encoding="utf-8")
    (folder / "tested.yaml").write_text(text + "\ntests:\n" + "".join(f"  {each}\n" for each in lines), "utf-8")
    return run("tests", "tested.yaml", cwd=folder)


def test_the_empty_sheet_has_what_each_box_should_read(folder):
    done = run("tests", TERRACE, cwd=folder)
    assert done.returncode == 2
    assert "DEAD TESTS, isolated and proved dead" in done.stdout
    assert "from the route at 5 to 30 °C (temperature not read: an allowance)" in done.stdout
    assert "limit        at most 1.09 Ω, 643.7.3 and Appendix 3 (clause from memory)" in done.stdout
    assert "prove the indicator again" in done.stdout
    assert "C: car asks for power, 882 Ω, 5 to 7 V, output live (memory)" in done.stdout
    assert "STOP: do not energise yet. First settle: Continuity" in done.stdout
    assert "None stated: give each its name, serial number and date of calibration." in done.stdout


def test_an_odd_reading_is_called_out_with_its_causes(folder):
    done = sheet_of(folder, ["r1r2_ohm: 0.45", "leads_ohm: 0.3"])
    assert done.returncode == 2
    assert "LOOK AGAIN   It is higher than computed" in done.stdout
    assert "1. Leads not subtracted (would read 0.3" in done.stdout
    assert "by calculation: Ze plus R1 + R2 as read" in done.stdout


def test_a_failure_says_what_to_repeat(folder):
    done = sheet_of(folder, ["insulation_megohm: 0.4"])
    assert done.returncode == 1
    assert ("After the repair repeat: Continuity of the protective conductor: R1 + R2; Insulation resistance."
            in " ".join(done.stdout.split()))  # fmt: skip


def test_the_same_as_json(folder):
    found = json.loads(run("tests", TERRACE, "--json", cwd=folder).stdout)
    assert found["format"] == 1
    zs = next(box for box in found["boxes"] if box["id"] == "zs")
    assert (zs["unit"], zs["limit_is"], zs["reading"]) == ("Ω", "most", None)
    assert zs["expected"]["working"][-1]["symbol"] == "Zs"


def test_the_working_of_an_expected_value_is_shown(folder):
    assert "Zs = Ze + R1R2" in run("tests", TERRACE, "--working", cwd=folder).stdout


def test_an_instruments_readings_are_judged_and_written_for_the_job_file(folder):
    (folder / "out.csv").write_text("R1R2,IR\n0.12,>999\n", "utf-8")
    (folder / "map.csv").write_text("column,field\nR1R2,tests.r1r2_ohm\nIR,tests.insulation_megohm\n", "utf-8")
    files = ("--readings", "out.csv", "--columns", "map.csv")
    done = run("tests", TERRACE, *files, cwd=folder)
    assert "read         0.12 Ω" in done.stdout
    block = run("tests", TERRACE, *files, "--yaml", cwd=folder).stdout
    (folder / "merged.yaml").write_text((folder / TERRACE).read_text("utf-8") + block[block.index("tests:"):], "utf-8")
    assert "read         0.12 Ω" in run("tests", "merged.yaml", cwd=folder).stdout


def test_half_of_an_import_is_refused(folder):
    done = run("tests", TERRACE, "--readings", "out.csv", cwd=folder)
    assert done.returncode == 3
    assert "--readings and --columns go together" in done.stderr
