"""Running the project's own commands on a database of their own, and seeing what is left of them."""

import os
import re
import shutil
import signal
import subprocess
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import psutil
import psycopg
import pytest

from shared.places import PROJECT, Places, own_cluster, state_folder
from shared.postgres import Passwords
from shared.processes import kill
from shared.roles import Database
from tests.browsing import free_port

PATIENCE_SECONDS = 120.0
READY = re.compile(r"^Pawlbook is ready at (http://\S+)$", re.MULTILINE)
OURS_ALONE = ("DATABASE_URL", "PAWLBOOK_OWNER_URL", "PAWLBOOK_SECRET_KEY", "PAWLBOOK_TEST_CLUSTER")


def wait_for(what: str, happens: Callable[[], bool]) -> None:
    """Wait for something that must happen; how long it takes on a busy machine is nobody's business."""
    until = time.monotonic() + PATIENCE_SECONDS
    while not happens():
        if time.monotonic() > until:
            pytest.fail(f"waited in vain until {what}")
        time.sleep(0.1)


@dataclass(frozen=True, slots=True)
class Site:
    """A `var/` of its own, so that nothing here meets a server that the developer runs."""

    var: Path

    @property
    def environ(self) -> dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if name not in OURS_ALONE}
        return {**kept, "PAWLBOOK_VAR": str(self.var)}

    @property
    def state(self) -> Path:
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("PAWLBOOK_VAR", str(self.var))
            return state_folder()

    @property
    def places(self) -> Places:
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("PAWLBOOK_VAR", str(self.var))
            return own_cluster()

    def run(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        """Run `./run …` to its end."""
        return subprocess.run(
            ["./run", *arguments], cwd=PROJECT, env=self.environ, capture_output=True, text=True, check=False
        )

    def start(self, *arguments: str) -> "Running":
        """Start `./run …` with its output in a file, as the leader of a group like a terminal's."""
        self.var.mkdir(parents=True, exist_ok=True)
        said = self.var / f"said-{time.monotonic_ns()}"
        with said.open("wb") as file:
            process = subprocess.Popen(
                ["./run", *arguments],
                cwd=PROJECT, env=self.environ, stdin=subprocess.DEVNULL, stdout=file, stderr=file,
                start_new_session=True,
            )  # fmt: skip
        return Running(process, said)

    def serve(self) -> "Running":
        """Start `./run serve` and wait until it says that it is ready."""
        running = self.start("serve", f"127.0.0.1:{free_port()}")
        wait_for("it is ready", lambda: bool(READY.search(running.said)) or not running.is_alive)
        if not running.is_alive:
            pytest.fail(running.said)
        return running

    def processes(self) -> list[psutil.Process]:
        """Every living process of this site: by its environment, or for PostgreSQL by its data."""
        return [process for process in psutil.process_iter() if self._owns(process)]

    def process(self, *words: str) -> psutil.Process:
        """The first of its processes whose command line holds all these words."""
        found = [process for process in self.processes() if _is_command(process, *words)]
        return found[0] if found else pytest.fail(f"no process {words}")

    def runs(self, *words: str) -> bool:
        return any(_is_command(process, *words) for process in self.processes())

    def wait_until_nothing_is_left(self) -> None:
        wait_for("no process is left", lambda: not self.processes())

    def connect(self) -> "psycopg.Connection[tuple[object, ...]]":
        """Connect as the application."""
        passwords = Passwords.of(self.places)
        database = Database.named(
            "pawl", host=str(self.places.socket), owner=passwords.owner, app=passwords.app
        )
        return psycopg.connect(database.app_url)

    def answers(self) -> bool:
        """Whether the database takes connections."""
        try:
            self.connect().close()
        except psycopg.OperationalError:
            return False
        return True

    def remove(self) -> None:
        for process in self.processes():
            kill(process)
        for folder in {self.state, self.var}:
            shutil.rmtree(folder, ignore_errors=True)

    def _owns(self, process: psutil.Process) -> bool:
        try:
            if process.status() == psutil.STATUS_ZOMBIE:
                return False
            return process.environ().get("PAWLBOOK_VAR") == str(self.var) or (
                process.cwd() == str(self.places.data)
            )
        except (psutil.NoSuchProcess, psutil.AccessDenied):
            return False


def _is_command(process: psutil.Process, *words: str) -> bool:
    try:
        line = " ".join(process.cmdline())
    except psutil.NoSuchProcess:
        return False
    return all(word in line for word in words)


@dataclass(frozen=True, slots=True)
class Running:
    """A command that runs, and what it has said so far."""

    process: subprocess.Popen[bytes]
    _said: Path

    @property
    def said(self) -> str:
        return self._said.read_text()

    @property
    def url(self) -> str:
        found = READY.search(self.said)
        assert found, self.said
        return found[1]

    @property
    def is_alive(self) -> bool:
        return self.process.poll() is None

    def end(self, sent: signal.Signals) -> int:
        """Send a signal to the command itself, as `kill` does, and wait for its end."""
        self.process.send_signal(sent)
        return self.process.wait(PATIENCE_SECONDS)

    def end_as_terminal(self, sent: signal.Signals) -> int:
        """Send a signal to all in its group, as a terminal does."""
        os.killpg(self.process.pid, sent)
        return self.process.wait(PATIENCE_SECONDS)
