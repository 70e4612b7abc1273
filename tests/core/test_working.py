"""The sheet marks its own arithmetic."""

import pytest

from ampwright.facts import look_up
from ampwright.working import Check, Trust, Verdict, Working, WorkingError, shown, symbol_for


def sheet_with(**values):
    sheet = Working()
    for symbol, value in values.items():
        sheet.given(symbol, value)
    return sheet


def test_a_step_is_printed_filled_in_and_done():
    sheet = sheet_with(R1=0.2, Ib=32)

    assert sheet.step("Vd = 2 * R1 * Ib", 12.8) == 12.8
    line = sheet.steps[-1]
    assert (line.symbol, line.formula, line.filled, line.unit) == ("Vd", "2 * R1 * Ib", "2 * 0.2 * 32", "V")


@pytest.mark.parametrize("code_says", [12.8 * (1 + 2e-9), 6.4, 0.0, float("nan")])
def test_print_and_code_may_not_differ(code_says):
    with pytest.raises(WorkingError, match="the print gives"):
        sheet_with(R1=0.2, Ib=32).step("Vd = 2 * R1 * Ib", code_says)


def test_a_symbol_must_be_on_the_sheet_before_it_is_used():
    with pytest.raises(WorkingError, match="Ib is not on the sheet"):
        sheet_with(R1=0.2).step("Vd = 2 * R1 * Ib", 12.8)


def test_a_symbol_must_be_in_the_nomenclature():
    with pytest.raises(WorkingError, match=r"symbols\.csv"):
        Working().given("Wibble", 1.0)
    assert symbol_for("R1_3").unit == "ohm"


@pytest.mark.parametrize("sly", ["Vd = __import__('os').x()", "Vd = (1).real", "Vd = [1][0]", "Vd = 1 if 1 else 2"])
def test_an_equation_is_plain_arithmetic(sly):
    with pytest.raises(WorkingError):
        Working().step(sly, 1.0)


@pytest.mark.parametrize(
    ("value", "text"),
    [(5.8959, "5.896"), (11.5, "11.5"), (0.00308, "0.00308"), (45000, "45000"), (1234567.8, "1234568"), (0, "0"),
     (-2.50, "-2.5"), (100.0, "100"), (99999.6, "100000")],
)  # fmt: skip
def test_numbers_are_shown_as_on_paper(value, text):
    assert shown(value) == text


def test_a_negative_number_is_filled_in_between_brackets():
    sheet = sheet_with(U0=-3)
    sheet.step("Vd = 2 * U0", -6)
    assert sheet.steps[-1].filled == "2 * (-3)"


def test_a_check_is_as_trusted_as_its_weakest_number():
    sheet = Working()
    sheet.fact("r20", look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=6))
    strong = Check("r", "1", "e", "?", Verdict.MET, "", working=sheet.steps, clause_trust=Trust.PRINTED)
    sheet.fact("alpha", look_up("iec/conductor_constants", "value", name="steel_alpha20"))
    weak = Check("r", "1", "e", "?", Verdict.MET, "", working=sheet.steps, clause_trust=Trust.PRINTED)

    assert strong.trust is Trust.REPRINTED
    assert weak.trust is Trust.MEMORY
    assert Check("r", "1", "e", "?", Verdict.MET, "", clause_trust=Trust.DERIVED).trust is Trust.DERIVED
    by_memory = Check("r", "1", "e", "?", Verdict.MET, "", working=sheet.steps[:1], clause_trust=Trust.MEMORY)
    assert by_memory.trust is Trust.MEMORY
