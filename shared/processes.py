"""Starting, watching and ending other processes so that none is ever left behind."""

import ctypes
import fcntl
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import psutil

PR_SET_PDEATHSIG = 1
# Loaded here and not where it is used: that is between fork and exec, where little is safe.
LIBC = ctypes.CDLL(None, use_errno=True)
DEATHS_ALLOWED = 5
DEATHS_WITHIN_SECONDS = 60.0


class TooManyDeaths(Exception):
    """A process died so often within a minute that starting it again is no help."""


class Deaths:
    """How often one process died lately, and how long to wait before it is started again.

    The waits are 0.1, 0.2, 0.4, 0.8 s; the fifth death within a minute raises `TooManyDeaths`.
    """

    def __init__(self, name: str) -> None:
        self.name = name
        self._times: list[float] = []

    def note(self, now: float) -> float:
        """Count one death at `now` (seconds of a monotonic clock); return the seconds to wait."""
        self._times = [when for when in self._times if now - when < DEATHS_WITHIN_SECONDS] + [now]
        if len(self._times) >= DEATHS_ALLOWED:
            raise TooManyDeaths(f"The {self.name} died {len(self._times)} times within a minute; giving up.")
        return 0.1 * float(2 ** (len(self._times) - 1))


def die_with_parent(sent: signal.Signals) -> None:
    """Ask Linux to send this process a signal when its parent dies; elsewhere do nothing.

    Call it in the child, after any change of user (which clears the wish).
    """
    if sys.platform == "linux":
        LIBC.prctl(PR_SET_PDEATHSIG, int(sent), 0, 0, 0)


def has_ended(process: subprocess.Popen[bytes], seconds: float) -> bool:
    try:
        process.wait(seconds)
    except subprocess.TimeoutExpired:
        return False
    return True


def stop(process: subprocess.Popen[bytes], *steps: tuple[signal.Signals, float]) -> int:
    """End a child by ever harder signals: each is sent, then given its seconds. Returns the exit code."""
    for sent, seconds in steps:
        if process.poll() is not None:
            break
        process.send_signal(sent)
        if has_ended(process, seconds):
            break
    else:
        process.kill()
    return process.wait()


def kill_group(pgid: int) -> None:
    """Kill whatever is left of a process group."""
    try:
        os.killpg(pgid, signal.SIGKILL)
    except ProcessLookupError:
        return


def try_lock(file: IO[bytes], how: int) -> bool:
    """Try for a lock (`fcntl.LOCK_EX` or `LOCK_SH`) on an open file, at once."""
    try:
        fcntl.flock(file, how | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold the exclusive lock of a file, waiting for it; the system gives it back however we end."""
    with path.open("ab") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield


def kill(process: psutil.Process) -> None:
    """Kill a process that may be gone by now."""
    try:
        process.kill()
    except psutil.NoSuchProcess:
        return


def say(sentence: str) -> None:
    """Tell the person at the terminal, who may have closed it: then whatever is left to say goes nowhere."""
    try:
        print(sentence, flush=True)
    except OSError:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
