"""A throw-away PostgreSQL of the tests' own: a folder, a socket, no port, gone when they end."""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
import subprocess
import tempfile
from pathlib import Path

import sqlalchemy as sql

MISSING = "PostgreSQL is not installed; `make test` installs it (Debian's package postgresql)"
PLAIN_ROLE = "firm"


class Cluster:
    """A server that only this machine's socket reaches. Databases belong to a role that has no other rights."""

    def __init__(self) -> None:
        self._free: list[str] = []
        self.folder = Path(tempfile.mkdtemp(prefix="aw-pg-"))
        self._as = ["runuser", "-u", "postgres", "--"] if os.getuid() == 0 else []
        if self._as:
            shutil.chown(self.folder, "postgres")
        self._run("initdb", "-D", str(self.folder / "data"), "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-sync")
        self.start()
        self._ask(f"CREATE ROLE {PLAIN_ROLE} LOGIN")

    def start(self) -> None:
        """Start the server and wait until it answers."""
        options = f"-c listen_addresses='' -k {self.folder}"
        self._run("pg_ctl", "start", "-w", "-D", str(self.folder / "data"), "-l", str(self.folder / "log"),
                  "-o", options)  # fmt: skip

    def crash(self) -> None:
        """Stop the server with no word to anybody and nothing tidied up."""
        self._run("pg_ctl", "stop", "-w", "-D", str(self.folder / "data"), "-m", "immediate")

    def close(self) -> None:
        """Stop it and take its folder away."""
        self.crash()
        shutil.rmtree(self.folder)

    def database(self) -> str:
        """The address of an empty database."""
        if self._free:
            return self._free.pop()
        name = f"jobs_{secrets.token_hex(6)}"
        self._ask(f"CREATE DATABASE {name} OWNER {PLAIN_ROLE}")
        return f"postgresql://{PLAIN_ROLE}@/{name}?host={self.folder}"

    def take_back(self, address: str) -> None:
        """Empty a database for the next test: a new one is tens of megabytes to write and to take away."""
        name = sql.make_url(address).database
        self._ask(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'")
        self._ask(f"DROP SCHEMA public CASCADE; CREATE SCHEMA public AUTHORIZATION {PLAIN_ROLE}", str(name))
        self._free.append(address)

    def _ask(self, words: str, database: str = "postgres") -> None:
        engine = sql.create_engine(f"postgresql+psycopg://postgres@/{database}?host={self.folder}",
                                   isolation_level="AUTOCOMMIT")  # fmt: skip
        with contextlib.closing(engine.raw_connection()) as link:
            link.cursor().execute(words)
        engine.dispose()

    def _run(self, program: str, *words: str) -> None:
        done = subprocess.run([*self._as, _found(program), *words], cwd="/", stdout=subprocess.DEVNULL,
                              stderr=subprocess.PIPE, text=True, check=False)  # fmt: skip
        if done.returncode:
            raise RuntimeError(f"{program}: {done.stderr}")


def _found(program: str) -> str:
    inside = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{program}"))
    where = str(inside[-1]) if inside else shutil.which(program)
    if where is None:
        raise RuntimeError(MISSING)
    return where
