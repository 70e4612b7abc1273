"""The test sheet's page: what it shows beside each box, and what it keeps of what is typed."""

from html import unescape

import pytest

from ampwright.assess.testing.sheet import sheet
from ampwright.deliver.testing import expected_words, limit_words
from ampwright.reading import measured


@pytest.fixture
def save(client, hidden):
    def sent(address, **typed):
        told = hidden(client.get(f"{address}/sheet").text)
        return client.post(f"{address}/sheet", data=told | {name.replace("__", "."): text
                                                             for name, text in typed.items()})  # fmt: skip

    return sent


def exact(path, text):
    return {f"{path}~kind": "exact", f"{path}~low": text, f"{path}~high": "", f"{path}~because": "", f"{path}~with": ""}


def test_expected_value_and_limit_stand_beside_each_box(client, house, record):
    page = unescape(client.get(f"{house}/sheet").text)
    for box in sheet(record(house)).boxes:
        assert box.test.title in page
        if box.test.rule:
            assert expected_words(box)[1:] in page
        if box.limit.value is not None:
            assert limit_words(box)[1:] in page


def test_a_reading_is_kept_and_judged_at_once(save, house, record):
    page = unescape(save(house, **exact("tests.r1r2_ohm", "0.165")).text)
    assert record(house).tests.r1r2_ohm == measured(0.165)
    assert "Saved and judged" in page
    assert '<article class="check test met" id="r1r2">' in page
    assert "Look again" not in page


def test_a_lawful_but_odd_reading_says_what_may_have_made_it(save, house, record):
    page = unescape(save(house, **exact("tests.r1r2_ohm", "0.35")).text)
    assert '<article class="check test yours" id="r1r2">' in page
    assert "Look again" in page
    doubt = next(each.doubt for each in sheet(record(house)).boxes if each.test.id == "r1r2")
    assert doubt is not None
    assert page.index(doubt.causes[0].prove[1:]) < page.index(doubt.causes[-1].prove[1:])


def test_a_reading_over_its_limit_fails_and_says_what_to_repeat(save, house):
    page = unescape(save(house, **exact("tests.insulation_megohm", "0.4")).text)
    assert '<article class="check test not-met" id="insulation">' in page
    assert "After the repair repeat" in page
    assert "Stop: do not energise yet" in page


def test_bad_input_is_refused_all_at_once_and_what_was_typed_stays(save, house, record):
    before = record(house)
    typed = exact("tests.r1r2_ohm", "0,17") | exact("tests.insulation_megohm", "lots") | {"tests.date": "2026-11-20"}
    answer = save(house, **typed)
    page = unescape(answer.text)
    assert answer.status_code == 422
    assert "write 0.17" in page
    assert 'value="0,17"' in page
    assert 'value="lots"' in page
    assert 'value="2026-11-20"' in page
    assert record(house) == before


def test_the_sheet_sent_as_it_was_shown_changes_nothing(client, save, house, app):
    save(house)
    assert len(app.state.site.store.history(house.rsplit("/", 1)[-1])) == 1


def test_a_pilot_state_and_an_instrument_are_added(save, house, record):
    save(house, **{"tests.pilot[0].state": "C", "tests.pilot[0].output_live": "true",
                   "tests.instruments[0].name": "multifunction tester",
                   "tests.instruments[0].serial": "0001"})  # fmt: skip
    tests = record(house).tests
    assert (tests.pilot[0].state, tests.pilot[0].output_live) == ("C", True)
    assert (tests.instruments[0].name, tests.instruments[0].serial) == ("multifunction tester", "0001")


def test_half_a_pilot_state_is_refused(save, house, record):
    answer = save(house, **{"tests.pilot[0].output_live": "true"})
    assert answer.status_code == 422
    assert record(house).tests.pilot == ()


def test_a_saved_note_of_no_operation_says_nothing(client, house):
    assert "Saved and judged" not in client.get(f"{house}/sheet?saved=nothing").text


def test_a_range_of_the_survey_is_shown_as_supposed_and_not_as_read(client, terrace):
    ze = client.get(f"{terrace}/sheet").text.split('id="ze"')[1].split("</article>")[0]
    assert "<dt>Read</dt>" not in ze
    assert "0.1 to 0.35 Ω, not read: up to the operator" in ze
    assert "Test missing: Loop at the supply: Ze." in client.get(f"{terrace}/issued").text
