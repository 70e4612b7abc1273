"""The commands against a server that wants a token: from the environment or asked for, never on the command line."""

import threading
import time

import pytest
import uvicorn
from click.testing import CliRunner
from signing import OTHER, OUR, PASSWORD

from ampwright.deliver import door
from ampwright.deliver.cli import ampwright
from ampwright.deliver.server import Key, Server
from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.web.app import Others, create_app

TEXT = "version: 2\ntitle: A small job\nsupply: {ze_ohm: 0.3, phases: 1}\n"


@pytest.fixture
def app(tmp_path):
    """A server for others, with a small job of our firm."""
    found = create_app(tmp_path / "jobs.db", "Ann", Others(secure=False, names=("127.0.0.1",)))
    people = found.state.door.people
    for firm, login in ((OUR, "ann"), (OTHER, "other")):
        people.add(firm=firm, login=login, name=login.title(), role="owner", password=PASSWORD)
    FirmStore(found.state.site.store, people.named("ann").firm).take_in(TEXT, operation="begin-the-job", who="Ann",
                                                                        origin="a test")  # fmt: skip
    return found


@pytest.fixture
def run(app, tmp_path, monkeypatch):
    """A command with that server in use, in a folder of its own; `key` is what the environment holds."""
    running = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error"))
    thread = threading.Thread(target=running.run)
    thread.start()
    while not running.started:
        time.sleep(0.01)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("AMPWRIGHT_SERVER", f"http://127.0.0.1:{running.servers[0].sockets[0].getsockname()[1]}")

    def ran(*words, key="", typed=None):
        monkeypatch.setenv("AMPWRIGHT_TOKEN", key)
        monkeypatch.setattr(door, "_somebody_is_there", lambda: typed is not None)
        return CliRunner().invoke(ampwright, [str(word) for word in words], input=typed)

    yield ran
    running.should_exit = True
    thread.join()


@pytest.fixture
def token(app):
    """A function that makes one."""
    door_of = app.state.door
    return lambda login="ann", role="owner": door_of.tokens.make(door_of.people.named(login), name=f"{login} {role}",
                                                                role=role, days=1)[1]  # fmt: skip


def test_a_token_of_the_environment_fetches_and_sends(run, token, app, tmp_path):
    key, job = token(), app.state.site.store.names()[0]
    assert run("jobs", key=key).output.split() == [job, "nothing", "A", "small", "job"]
    assert run("pull", job, "job.yaml", key=key).exit_code == 0
    file = tmp_path / "job.yaml"
    file.write_text(file.read_text().replace("0.3", "0.28"))
    done = run("push", "job.yaml", key=key)
    assert (done.exit_code, done.output) == (0, "sent: earth fault loop impedance at the cut-out, Ze\n")
    newest = app.state.site.store.history(job)[0]
    assert (newest.who, newest.origin) == ("Ann", "the program ann owner at 127.0.0.1")
    assert key not in file.read_text()


def test_a_token_is_asked_for_once_and_not_shown(run, token, app):
    key, job = token(), app.state.site.store.names()[0]
    done = run("pull", job, "job.yaml", typed=f"{key}\n")
    assert done.exit_code == 0, done.output
    assert done.output.count("Token: ") == 1
    assert key not in done.output


@pytest.mark.parametrize(("key", "says"), [
    ("", "wants a token"), ("ampwright_" + "x" * 43, "does not take this token"),
    ("hunter2\r\nX-Evil: 1", "no token of an Ampwright"), ("secret£", "no token of an Ampwright"),
])  # fmt: skip
def test_without_the_right_one_it_says_what_to_do(run, key, says):
    done = run("jobs", key=key)
    assert done.exit_code == 3
    assert says in done.output
    assert "on the page of your account" in done.output
    assert not key or key not in done.output


def test_a_token_that_may_only_read_sends_nothing(run, token, app, tmp_path):
    key, job = token(role="reader"), app.state.site.store.names()[0]
    run("pull", job, "job.yaml", key=key)
    file = tmp_path / "job.yaml"
    file.write_text(file.read_text().replace("0.3", "0.28"))
    done = run("push", "job.yaml", key=key)
    assert done.exit_code == 3
    assert "not yours to do" in done.output


def test_another_firm_s_job_is_not_there(run, token, app):
    done = run("pull", app.state.site.store.names()[0], "job.yaml", key=token("other"))
    assert done.exit_code == 3
    assert "no such job" in done.output


def test_no_command_takes_a_token_as_a_word():
    def options(command):
        yield from (name for each in command.params for name in each.opts)
        for below in getattr(command, "commands", {}).values():
            yield from options(below)

    assert "--server" in set(options(ampwright))
    assert not [each for each in options(ampwright) if "token" in each or "password" in each or "key" in each]


def test_a_token_is_not_printed_with_the_server_that_it_is_for():
    shown = repr(Server.at("https://jobs.example:8722", Key("ampwright_secret")))
    assert "secret" not in shown


def test_a_token_by_plain_http_to_another_machine_is_told(tmp_path, monkeypatch):
    monkeypatch.setenv("AMPWRIGHT_TOKEN", "ampwright_" + "x" * 43)
    for address, warned in {"http://192.0.2.1": True, "https://192.0.2.1": False, "http://localhost": False}.items():
        monkeypatch.setattr(Server, "jobs", lambda self: [])
        done = CliRunner().invoke(ampwright, ["--server", address, "jobs"])
        assert ("everybody on the way can read" in done.output) is warned


def test_tokens_by_command(app, tmp_path):
    def command(*words):
        return CliRunner().invoke(ampwright, ["people", *words, "--jobs", str(tmp_path / "jobs.db")])

    made = command("token", "ann", "night run", "--role", "installer", "--days", "7")
    assert made.exit_code == 0, made.output
    secret = made.output.strip()
    found = app.state.door.tokens.of(secret)
    assert found is not None
    assert (found[0].name, found[1].role) == ("night run", "installer")
    assert "token night run: installer, until " in command("list").output
    assert secret not in command("list").output
    wrong = command("token", "ann", "night run", "--role", "boss", "--days", "0")
    assert wrong.exit_code != 0
    for words in ("no role 'boss'", "1 to 366 days", "already"):
        assert words in wrong.output
    assert command("end-token", "ann", "night run").exit_code == 0
    assert app.state.door.tokens.of(secret) is None
    assert "no such token" in command("end-token", "ann", "night run").output
