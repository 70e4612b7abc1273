"""A firm's own figures by the API: read, put, taken back; what is wrong with them; and whoever may not."""

import pytest
from jobs_sent import API, operation, refused
from pydantic import TypeAdapter
from signing import Program

from ampwright.deliver.figures import KINDS
from ampwright.deliver.store.figure_book import FigureBook
from ampwright.deliver.web.api import shapes_of_figures as shapes

BITS = KINDS["bits"].sort.text()
PRICES = KINDS["prices"].sort.text()
OWN = BITS + "final,60,900,,\n"


def put(client, kind, csv, base=0, name=None):
    return client.post(f"{API}/figures/{kind}", json={"operation": name or operation(), "base": base, "csv": csv})


def taken_back(client, kind, base):
    return client.post(f"{API}/figures/{kind}/take-back", json={"operation": operation(), "base": base})


def read(answer):
    assert answer.status_code == 200
    return TypeAdapter(shapes.FiguresRead).validate_python(answer.json(), strict=True)


def test_they_are_listed_read_put_and_taken_back(client):
    told = TypeAdapter(shapes.FiguresList).validate_python(client.get(f"{API}/figures").json(), strict=True)
    assert [(each["kind"], each["own"], each["number"]) for each in told["figures"]] == [
        (kind, False, 0) for kind in KINDS]  # fmt: skip
    assert read(client.get(f"{API}/figures/bits"))["csv"] == BITS
    made = read(put(client, "bits", "\ufeff" + OWN))
    assert (made["own"], made["csv"], made["since"]["who"], made["versions"]) == (True, OWN, "Ann", [made["since"]])
    assert read(client.get(f"{API}/figures/bits")) == made
    back = read(taken_back(client, "bits", made["number"]))
    assert (back["own"], back["csv"], [each["own"] for each in back["versions"]]) == (False, BITS, [False, True])


def test_the_same_operation_again_changes_nothing_and_another_is_told(client):
    first = read(put(client, "bits", OWN, name="operation-once"))
    assert read(put(client, "bits", OWN, name="operation-once")) == first
    refused(put(client, "bits", BITS, base=1, name="operation-once"), 409)
    assert "Ann put in other figures since" in refused(put(client, "bits", BITS), 409)
    assert "Ann put in other figures since" in refused(taken_back(client, "bits", 0), 409)
    assert read(client.get(f"{API}/figures/bits")) == first


@pytest.mark.parametrize(("csv", "says"), [
    (BITS.replace("pilot,8,", "auger,8,").replace("final,16,400", "final,x,400"), "kind 'auger' is none of"),
    (PRICES, "this is a price book and not a list of bits"), ("", "nothing was sent"),
    (BITS + "\x00", "cannot be printed"), (BITS.replace('"list', '"@list'), "for a formula")])  # fmt: skip
def test_what_is_wrong_is_told_at_once_and_nothing_is_kept(client, csv, says):
    answer = put(client, "bits", csv)
    assert says in refused(answer, 422)
    if "auger" in csv:
        assert [each["line"] for each in answer.json()["faults"]] == [2, 4]
    assert read(client.get(f"{API}/figures/bits"))["versions"] == []


def test_answers_go_by_them_and_name_them(client, small):
    before = client.get(f"{small}/materials")
    assert "ampwright-own-figures" not in before.headers
    put(client, "prices", PRICES.replace("margin_percent,,,10", "margin_percent,,,50"))
    put(client, "bits", "kind,diameter_mm,usable_mm,bore_mm,note\npilot,9,2900,,\nfinal,61,2900,,\nsleeve,60,,55,\n")
    after = client.get(f"{small}/materials")
    assert after.headers["ampwright-own-figures"] == "prices, bits"


def test_what_cannot_be_read_any_more_is_told(client, small, app):
    FigureBook(app.state.site.store).put("bits", "kind\n", base=0, operation="an-older", who="Ann", origin="a test")
    for asked in ("materials", "routes", "design", "quote", "visit-list", "issued"):
        assert "cannot be read as a list of bits" in refused(client.get(f"{small}/{asked}"), 409), asked
    assert client.get(f"{small}/tests").status_code == 200


def test_a_reader_and_another_firm_are_refused(firms):
    owner, installer, other = (Program(firms, login) for login in ("designer", "installer", "other-owner"))
    read(put(owner, "bits", OWN))
    refused(put(installer, "bits", BITS, base=1), 403)
    refused(taken_back(Program(firms, "owner", role="reader"), "bits", 1), 403)
    assert read(installer.get(f"{API}/figures/bits"))["since"]["who"] == "Designer One"
    theirs = read(other.get(f"{API}/figures/bits"))
    assert (theirs["own"], theirs["csv"], theirs["versions"]) == (False, BITS, [])
    assert read(put(other, "bits", BITS + "final,70,900,,\n"))["versions"][0]["who"] == "Other One"
    assert read(owner.get(f"{API}/figures/bits"))["csv"] == OWN
