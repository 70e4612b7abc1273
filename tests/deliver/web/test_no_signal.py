"""What a phone keeps or sends without signal, held against accounts: whose it is, and what anybody may see."""

import pytest
from drawn_photos import jpeg
from signing import Browser

from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.store.store import NoSuchJob

SMALL = jpeg(1, (40, 30))
FIELD = "supply.cutout.rating_a"


@pytest.fixture
def home(firms):
    return f"/jobs/{firms.state.site.store.names()[2]}"


def send_photos(browser, home, *contents, operation="photo-00000001", **more):
    files = [("photo", (f"{number}.jpg", content, "image/jpeg")) for number, content in enumerate(contents)]
    return browser.post(f"{home}/photos", data={"path": FIELD, "operation": operation, **more}, files=files,
                        follow_redirects=False)  # fmt: skip


@pytest.mark.parametrize("page", ["/unsent", "/no-signal"])
def test_the_pages_of_the_shell_are_the_same_for_everybody(firms, page):
    shown = {Browser(firms, login).get(page).text for login in ("", "owner", "reader", "other-owner")}
    assert len(shown) == 1
    assert "form-token" not in shown.pop()


def test_who_is_told_to_who_asks(firms):
    owner = Browser(firms, "owner")
    told = owner.get("/who").json()
    assert told == {"person": firms.state.door.people.named("owner").id, "token": owner.token()}
    assert Browser(firms).get("/who").json() == {"person": "", "token": ""}
    assert f'data-person="{told["person"]}"' in owner.get("/").text
    assert 'data-person=""' in Browser(firms).get("/sign-in").text


def test_on_this_machine_alone_there_is_one_person(client):
    assert client.get("/who").json() == {"person": "this-machine", "token": ""}
    assert 'data-person="this-machine"' in client.get("/").text


def test_the_token_may_come_in_the_form_or_beside_it_and_not_at_all_is_refused(firms, home):
    browser, photos = Browser(firms, "installer"), firms.state.site.store.photos
    assert send_photos(browser, home, SMALL).status_code == 403
    assert photos.of_job(home[6:]) == ()
    many = [jpeg(number, (40, 30)) for number in range(3)]
    assert send_photos(browser, home, *many, **{"form-token": browser.token()}).status_code == 303
    browser.headers["x-form-token"] = browser.token()
    assert send_photos(browser, home, SMALL, operation="photo-00000002").status_code == 303
    assert [each.who for each in photos.of_job(home[6:])] == ["Installer One"] * 4
    assert {each.origin for each in photos.of_job(home[6:])} == {"a page at testclient"}


def test_a_reader_sees_photos_and_brings_none(firms, home):
    owner, reader = Browser(firms, "owner"), Browser(firms, "reader")
    assert send_photos(owner, home, SMALL, **{"form-token": owner.token()}).status_code == 303
    assert reader.get(f"{home}/photos/photo-00000001").content == owner.get(f"{home}/photos/photo-00000001").content
    refused = send_photos(reader, home, SMALL, operation="photo-00000002", **{"form-token": reader.token()})
    assert refused.status_code == 403
    assert "data-photos " not in reader.get(f"{home}/part/cut-out").text
    for page in ("part/cut-out", "sheet"):
        assert '<button class="main">Save' not in reader.get(f"{home}/{page}").text
        assert '<button class="main">Save' in owner.get(f"{home}/{page}").text
    assert "data-photos " in owner.get(f"{home}/part/cut-out").text


def test_a_photo_is_there_for_the_firm_of_its_job_alone(firms, home):
    owner, other, nobody = Browser(firms, "owner"), Browser(firms, "other-owner"), Browser(firms)
    send_photos(owner, home, SMALL, **{"form-token": owner.token()})
    theirs = other.give("/jobs", title="7 Sample Street", operation="b" * 32).headers["location"].split("/done")[0]
    for address in (f"{home}/photos", f"{home}/photos/photo-00000001", f"{theirs}/photos/photo-00000001",
                    f"{home}/addresses"):  # fmt: skip
        answer = other.get(address)
        assert answer.status_code == 404
        assert not answer.headers["content-type"].startswith("image/")
        assert nobody.get(address, follow_redirects=False).headers["location"].startswith("/sign-in")
    taken = send_photos(other, theirs, SMALL, **{"form-token": other.token()})
    assert taken.status_code == 409  # the id is that of another photo, of which nothing more is said
    assert "Owner One" not in taken.text


def test_the_store_of_a_firm_has_no_photos_of_another(firms, home):
    store = firms.state.site.store
    name = home[6:]
    store.photos.add(name, FIELD, SMALL, sent=SMALL, operation="photo-0001", who="x", origin="x")
    theirs = FirmStore(store, firms.state.door.people.named("other-owner").firm).photos
    ours = FirmStore(store, firms.state.door.people.named("owner").firm).photos
    for asked in (lambda: theirs.of_job(name), lambda: theirs.content(name, "photo-0001"),
                  lambda: theirs.add(name, FIELD, SMALL, sent=SMALL, operation="photo-0002", who="x", origin="x")):
        with pytest.raises(NoSuchJob):
            asked()
    assert [each.id for each in ours.of_job(name)] == ["photo-0001"]
    assert ours.content(name, "photo-0001") == SMALL


def test_a_customer_s_phone_is_given_no_worker_and_no_outbox(firms, home):
    owner = Browser(firms, "owner")
    owner.give(f"{home}/share", days="3")
    link = owner.get(f"{home}/share").text.split("/shared/")[1].split('"')[0]
    text = Browser(firms).get(f"/shared/{link}").text
    assert "offline.js" not in text
    assert "Unsent work" not in text
    assert "offline.js" in owner.get(home).text


def test_programs_are_not_answered_by_what_lets_a_page_in(firms):
    for login in ("", "owner"):
        assert Browser(firms, login).get("/api/v1/jobs").status_code == 401


def test_every_page_of_every_job_can_be_kept(client, app):
    for name in app.state.site.store.names():
        told = client.get(f"/jobs/{name}/addresses").json()
        assert f"/jobs/{name}/sheet" in told
        for address in told:
            assert client.get(address, follow_redirects=False).status_code == 200, address
