"""The keeper: one process that runs the embedded database for as long as anybody uses it.

Whoever needs the database holds a shared lock on `users.lock` (`use`). The first of them starts a keeper,
which starts the server, starts it again when it dies, and waits for the exclusive lock on the same file: it
gets that when the last user is gone, however that one went, `kill -9` included, since the system gives a dead
process's locks back. Then it stops the server and ends. So several commands share one server, nobody has to
be the one that ends it, and nothing is left behind.

    user A  ├── shared lock ───────────┤
    user B         ├── shared lock ────────────┤
    keeper  ├─ server ─────────────────────────┤ exclusive lock, stop, end
"""

import argparse
import fcntl
import shutil
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from queue import Empty, SimpleQueue
from types import FrameType
from typing import IO, Literal

from shared.places import PROJECT, Places, dead_scratch_clusters, open_private
from shared.postgres import Server, end_leftovers, stop_server
from shared.postgres_user import CouldNotStart
from shared.processes import Deaths, TooManyDeaths, try_lock

STARTING_SECONDS = 90.0
ENDING_SECONDS = 45.0
STEP_SECONDS = 0.03
READY = "ready"

Event = Literal["unused", "died", "stop"]


# --- the user's side ----------------------------------------------------------------------------------------


class Use:
    """One process's use of a cluster. It lasts until `end()`, or until the process is gone."""

    def __init__(self, places: Places, *, scratch: bool = False) -> None:
        """Use a cluster, made and started if need be; the last user's going deletes a `scratch` one."""
        if scratch:
            for dead in dead_scratch_clusters():
                _throw_away(dead)
        places.make()
        self.places = places
        self._scratch = scratch
        self._users = open_private(places.users_lock)
        self._keeper = open_private(places.keeper_lock)
        fcntl.flock(self._users, fcntl.LOCK_SH)
        self.ensure()

    @property
    def descriptor(self) -> int:
        """The open file that holds the lock: a process that inherits it goes on with this use."""
        return self._users.fileno()

    def ensure(self) -> None:
        """Start a keeper if there is none, and wait until the server is ready."""
        until = time.monotonic() + STARTING_SECONDS
        started = False
        while True:
            if _keeper_is_gone(self.places):
                if started and (reason := _last_words(self.places)):
                    raise CouldNotStart(reason)
                started = _start_keeper(self.places, scratch=self._scratch) or started
            elif _state(self.places) == READY:
                return
            if time.monotonic() > until:
                raise CouldNotStart(f"The database was not ready in time; see {self.places.log}.")
            time.sleep(STEP_SECONDS)

    def wait_for_end_of_keeper(self) -> None:
        """Return when the keeper is gone: the server is then gone too, or going."""
        with open_private(self.places.keeper_lock) as file:
            fcntl.flock(file, fcntl.LOCK_SH)

    def end(self) -> None:
        """Give the cluster back; if nobody else uses it, return when the server has stopped."""
        fcntl.flock(self._users, fcntl.LOCK_UN)
        until = time.monotonic() + ENDING_SECONDS
        while time.monotonic() < until:
            if try_lock(self._keeper, fcntl.LOCK_SH) or self._is_kept_for_others():
                break
            time.sleep(STEP_SECONDS)
        self._keeper.close()
        self._users.close()

    def _is_kept_for_others(self) -> bool:
        """Whether somebody else holds the shared lock. The keeper, about to end, holds the exclusive one."""
        nobody = try_lock(self._users, fcntl.LOCK_EX)
        others = not nobody and try_lock(self._users, fcntl.LOCK_SH)
        fcntl.flock(self._users, fcntl.LOCK_UN)
        return others


def _keeper_is_gone(places: Places) -> bool:
    with open_private(places.keeper_lock) as lock:
        return try_lock(lock, fcntl.LOCK_EX)


def _start_keeper(places: Places, *, scratch: bool) -> bool:
    """Start a keeper unless somebody was faster. It inherits its lock from here."""
    with open_private(places.keeper_lock) as lock:
        if not try_lock(lock, fcntl.LOCK_EX):
            return False
        places.state.write_text("")
        command = [sys.executable, "-m", "shared.keeper", str(places.folder), str(lock.fileno())]
        places.keeper_log.unlink(missing_ok=True)
        with open_private(places.keeper_log) as log:
            subprocess.Popen(
                [*command, *(["--scratch"] if scratch else [])],
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                cwd=PROJECT,
                start_new_session=True,
                pass_fds=[lock.fileno()],
            )
        return True


def _state(places: Places) -> str:
    """Nothing, too, while the very first keeper is being started by somebody else."""
    return places.state.read_text() if places.state.exists() else ""


def _last_words(places: Places) -> str:
    """Why the keeper ended; nothing when it was killed."""
    said = places.keeper_log.read_text(errors="replace").rstrip().split("\n")
    return said[-1]


# --- the keeper's side --------------------------------------------------------------------------------------


class Keeper:
    """Runs one server until nobody uses it, or until told to stop."""

    def __init__(self, places: Places, *, scratch: bool) -> None:
        self.places = places
        self.scratch = scratch
        self._events: SimpleQueue[Event] = SimpleQueue()
        self._deaths = Deaths("database")

    def run(self) -> None:
        for sent in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP):
            signal.signal(sent, self._told_to_stop)
        server = Server(self.places, scratch=self.scratch)
        with open_private(self.places.users_lock) as users:
            try:
                server.make_data()
                _in_background(lambda: self._wait_until_unused(users))
                while self._run_once(server) == "died":
                    time.sleep(self._deaths.note(time.monotonic()))
            finally:
                if self.scratch:
                    _throw_away(self.places)

    def _run_once(self, server: Server) -> Event:
        """Run the server until something happens; unless it died, it is stopped then."""
        process = server.start()
        _in_background(lambda: self._wait_for_death(process))
        event = self._watch_until_ready() or self._events.get()
        self.places.state.write_text("")
        stop_server(process)
        return event

    def _watch_until_ready(self) -> Event | None:
        while not _is_ready(self.places.data):
            try:
                return self._events.get(timeout=STEP_SECONDS)
            except Empty:
                continue
        self.places.state.write_text(READY)
        return None

    def _wait_until_unused(self, users: IO[bytes]) -> None:
        fcntl.flock(users, fcntl.LOCK_EX)
        self._events.put("unused")

    def _wait_for_death(self, process: subprocess.Popen[bytes]) -> None:
        process.wait()
        self._events.put("died")

    def _told_to_stop(self, _number: int, _frame: FrameType | None) -> None:
        self._events.put("stop")


def _throw_away(places: Places) -> None:
    end_leftovers(places.data)
    shutil.rmtree(places.socket, ignore_errors=True)
    shutil.rmtree(places.folder)


def _is_ready(data: Path) -> bool:
    """The eighth line of the server's own file says how far it has come."""
    try:
        lines = (data / "postmaster.pid").read_text().split("\n")
    except FileNotFoundError:
        return False
    return len(lines) > 7 and lines[7].strip() == READY


def _in_background(work: Callable[[], None]) -> None:
    threading.Thread(target=work, daemon=True).start()


def main() -> None:
    parser = argparse.ArgumentParser(prog="shared.keeper")
    parser.add_argument("folder", type=Path)
    parser.add_argument("lock", type=int, help="the inherited open file with the keeper's lock")
    parser.add_argument("--scratch", action="store_true")
    given = parser.parse_args()
    try:
        Keeper(Places(given.folder), scratch=given.scratch).run()
    except (CouldNotStart, TooManyDeaths) as reason:
        sys.exit(str(reason))


if __name__ == "__main__":
    main()
