"""https served for real, and verified by OpenSSL through the authority that was made; who is refused; the commands."""

import datetime
import hashlib
import os
import re
import ssl
import subprocess
import sys

import httpx
import pytest
from command import run
from cryptography import x509
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError
from signing import OUR, PASSWORD

from ampwright.deliver.certificates import RENEW_DAYS_COUNT, SERVER_DAYS_COUNT, Authority, CannotCertify, certified

NOW = datetime.datetime(2026, 6, 1, tzinfo=datetime.UTC)
NAMES = ("van.local", "192.168.1.20", "localhost")


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "jobs.tls"


def held(made):
    return x509.load_pem_x509_certificate(made.server_certificate.read_bytes())


def typed(folder, *words, says=f"{PASSWORD}\n{PASSWORD}\n"):
    return subprocess.run([sys.executable, "-W", "ignore", "-m", "ampwright", *words], cwd=folder, input=says,
                          capture_output=True, text=True, check=False, start_new_session=True)  # fmt: skip


@pytest.fixture
def served(tmp_path):
    """`ampwright serve --listen 0.0.0.0 --tls`, and what it says."""
    made = typed(tmp_path, "people", "add", "owner@example.org", "--firm", OUR)
    assert made.stdout.splitlines()[-1].endswith(f"owner@example.org may sign in as owner of {OUR}")
    command = [sys.executable, "-u", "-m", "ampwright", "serve", "--listen", "0.0.0.0", "--port", "0", "--tls"]
    process = subprocess.Popen(command, cwd=tmp_path, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    said = [process.stdout.readline() for _ in range(4)]
    yield said
    process.kill()
    process.wait()
    process.stdout.close()


def test_a_browser_that_trusts_the_authority_signs_in_by_https(served, tmp_path):
    port = re.findall(r"https://\S+:(\d+) ", served[0])[0]
    steps = re.findall(r"http://\S+:(\d+)/phone", served[1])[0]
    fetched = httpx.get(f"http://127.0.0.1:{steps}/phone/authority.crt")
    assert fetched.headers["content-type"] == "application/x-x509-ca-cert"
    page = httpx.get(f"http://127.0.0.1:{steps}/phone").text
    fingerprint = served[2].split()[-1]
    assert fingerprint.replace(":", "").lower() == hashlib.sha256(fetched.content).hexdigest()
    assert fingerprint in page
    assert "Whoever gets" in page
    assert httpx.get(f"http://127.0.0.1:{steps}/jobs").status_code == 404

    trusting = ssl.create_default_context(cadata=fetched.content)
    at = f"https://localhost:{port}"
    with httpx.Client(verify=trusting, base_url=at, headers={"origin": at}) as browser:
        assert browser.get("/").headers["location"] == "/sign-in?next=%2F"
        browser.post("/sign-in", data={"login": "owner@example.org", "password": PASSWORD})
        assert "There is no job yet" in browser.get("/").text
        assert browser.get("/", headers={"host": "evil.example"}).status_code == 421
    with pytest.raises(httpx.ConnectError, match="CERTIFICATE_VERIFY_FAILED"):
        httpx.get(at, verify=ssl.create_default_context())


def test_files_and_folder_are_their_owner_s_alone(folder):
    made = certified(folder, NAMES, NOW)
    assert folder.stat().st_mode & 0o777 == 0o700
    for key in (made.server_key, folder / "authority.key"):
        assert key.stat().st_mode & 0o777 == 0o600
    os.chmod(folder / "authority.key", 0o644)
    with pytest.raises(CannotCertify, match="chmod 600"):
        certified(folder, NAMES, NOW)


def test_a_verifier_of_rfc_5280_accepts_its_name_and_no_other(folder):
    # the library that signs also verifies, by its own code for RFC 5280; OpenSSL judges in the test above
    made = certified(folder, NAMES, NOW)
    policy = PolicyBuilder().store(Store([made.authority])).time(NOW)
    chain = policy.build_server_verifier(x509.DNSName("van.local")).verify(held(made), [])
    assert chain[-1] == made.authority
    with pytest.raises(VerificationError):
        policy.build_server_verifier(x509.DNSName("bank.example")).verify(held(made), [])


def test_the_authority_stays_and_the_server_s_certificate_is_renewed_in_time(folder):
    first = certified(folder, NAMES, NOW)
    same = certified(folder, NAMES, NOW + datetime.timedelta(days=SERVER_DAYS_COUNT - RENEW_DAYS_COUNT - 1))
    assert held(same) == held(first)
    serial = held(first).serial_number
    renewed = certified(folder, NAMES, NOW + datetime.timedelta(days=SERVER_DAYS_COUNT - RENEW_DAYS_COUNT + 1))
    assert held(renewed).serial_number != serial
    assert renewed.authority == first.authority
    moved = certified(folder, ("van.local", "192.168.7.7", "localhost"), NOW)
    assert moved.authority == first.authority
    assert "192.168.7.7" in str(held(moved).extensions)


def test_the_authority_signs_for_nothing_outside_its_limits(folder):
    made = certified(folder, NAMES, NOW)
    shown = Authority.of(made, "http://van.local:8723/phone", "https://van.local:8722")
    assert {"van.local", "local", "192.168.0.0/16"} <= set(shown.permitted)
    assert shown.picture.startswith("data:image/svg+xml")
    with pytest.raises(CannotCertify, match=re.escape("made without bank.example, 203.0.113.9")):
        certified(folder, (*NAMES, "bank.example", "203.0.113.9"), NOW)


@pytest.mark.parametrize("lost", ["authority.key", "authority.crt"])
def test_half_an_authority_is_said_and_never_made_anew_in_silence(folder, lost):
    certified(folder, NAMES, NOW)
    (folder / lost).write_text("no certificate and no key")
    with pytest.raises(CannotCertify, match="cannot be read"):
        certified(folder, NAMES, NOW)
    (folder / lost).unlink()
    with pytest.raises(CannotCertify, match="missing"):
        certified(folder, NAMES, NOW)


def test_the_commands_about_people(tmp_path):
    bad = typed(tmp_path, "people", "add", "A B", "--firm", "", "--role", "boss", says="short\nshort\n")
    assert bad.returncode == 3
    for words in ("sign-in name has", "firm's name is missing", "there is no role 'boss'", "at least 12"):
        assert words in bad.stderr
    assert typed(tmp_path, "people", "add", "bo", "--password", "x").returncode == 3
    assert run("people", "list", cwd=tmp_path).stdout == "Nobody yet.\n"
    typed(tmp_path, "people", "add", "owner@example.org", "--firm", OUR)
    assert run("people", "list", cwd=tmp_path).stdout == f"{OUR}: owner@example.org, owner@example.org, owner\n"
    new = "three plain words"
    assert typed(tmp_path, "people", "password", "owner@example.org", says=f"{new}\n{new}\n").returncode == 0
    closed = typed(tmp_path, "people", "close", "owner@example.org")
    assert closed.returncode == 3
    assert "only owner" in closed.stderr
