"""`./run serve`: all that runs, started in order, watched, started again when it dies, ended together."""

import fcntl
import signal
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from queue import SimpleQueue
from types import FrameType

import psutil

from shared import own_database
from shared.guard import MARK, Guarded
from shared.keeper import Use
from shared.own_database import Found
from shared.places import make_passable, open_private, state_folder
from shared.processes import Deaths, kill, say, try_lock
from shared.web import Address, Web

STOPPED = "stop"


class AlreadyServed(Exception):
    """Another `./run serve` of this project is running."""


class DidNotStart(Exception):
    """A step of starting failed; the lines before say why."""


class Serving:
    """One run of `./run serve`. What happens arrives in one queue, and one loop answers it."""

    def __init__(self, address: Address) -> None:
        self.address = address
        self._events: SimpleQueue[object] = SimpleQueue()
        self._told_to_stop = False

    def run(self) -> None:
        """Serve until told to stop."""
        for sent in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            signal.signal(sent, self._stop)
        make_passable(state_folder())
        with open_private(_lock_file()) as lock:
            if not try_lock(lock, fcntl.LOCK_EX):
                where = _lock_file().read_text().strip()
                raise AlreadyServed(f"Pawlbook is being served from this folder already, at {where}")
            lock.truncate(0)
            lock.write(self.address.url.encode())
            lock.flush()
            for part in ("set-up", "web"):
                end_marked(_mark(part))
            self.address.refuse_if_taken()
            database = own_database.find()
            try:
                self._set_up(database)
                self._serve(database)
            finally:
                database.end()
        say("Pawlbook has stopped.")

    def _stop(self, _number: int, _frame: FrameType | None) -> None:
        self._told_to_stop = True
        self._events.put(STOPPED)

    def _set_up(self, database: Found) -> None:
        """Migrate, load the demo catalog, ask the demo question: one command, as the owner."""
        command = (sys.executable, "manage.py", "set_up")
        step = Guarded(*command, environ=database.environ(owner=True), mark=_mark("set-up"))
        _in_background(step.wait, lambda: self._events.put(step))
        if self._events.get() is STOPPED:
            step.stop()
        elif step.wait() != 0:
            raise DidNotStart("The database could not be set up; the lines above say why.")

    def _serve(self, database: Found) -> None:
        web = self._start_web(database)
        try:
            if not self._is_ready(web):
                return
            self._watch(web, database.use)
            say(f"Pawlbook is ready at {self.address.url}")
            deaths = {"web": Deaths("web server"), "database": Deaths("keeper of the database")}
            while (event := self._events.get()) is not STOPPED:
                if event is database.use and database.use:
                    say("The keeper of the database died; starting another.")
                    time.sleep(deaths["database"].note(time.monotonic()))
                    database.use.ensure()
                    self._watch(None, database.use)
                elif event is web:
                    say("The web server died; starting it again.")
                    time.sleep(deaths["web"].note(time.monotonic()))
                    web = self._start_web(database)
                    self._watch(web, None)
                    if web.wait_until_ready(unless=self._is_told_to_stop):
                        say(f"Pawlbook is ready again at {self.address.url}")
        finally:
            web.stop()

    def _start_web(self, database: Found) -> Web:
        end_marked(_mark("web"))
        return Web(self.address, environ=database.environ(owner=False), mark=_mark("web"))

    def _is_ready(self, web: Web) -> bool:
        """Whether it came up; False when we were told to stop meanwhile."""
        if web.wait_until_ready(unless=self._is_told_to_stop):
            return True
        if self._told_to_stop:
            return False
        raise DidNotStart("The web server did not start; the lines above say why.")

    def _is_told_to_stop(self) -> bool:
        return self._told_to_stop

    def _watch(self, web: Web | None, use: Use | None) -> None:
        """Have the end of either told to the queue."""
        if web:
            _in_background(web.guarded.wait, lambda: self._events.put(web))
        if use:
            _in_background(use.wait_for_end_of_keeper, lambda: self._events.put(use))


def _lock_file() -> Path:
    return state_folder() / "serve.lock"


def _in_background(wait: Callable[[], object], tell: Callable[[], None]) -> None:
    def work() -> None:
        wait()
        tell()

    threading.Thread(target=work, daemon=True).start()


def _mark(part: str) -> str:
    return f"{state_folder()}:{part}"


def end_marked(mark: str) -> None:
    """End what an earlier run left behind: only if it, its guard and granian were all killed with -9."""
    found = [process for process in psutil.process_iter() if _mark_of(process) == mark]
    for process in found:
        kill(process)
    psutil.wait_procs(found, timeout=10)


def _mark_of(process: psutil.Process) -> str | None:
    try:
        return process.environ().get(MARK)
    except (psutil.NoSuchProcess, psutil.AccessDenied):
        return None
