"""A guard runs one command and sees to it that nothing of it is left when it, or whoever wanted it, is gone.

The one side (`Guarded`) holds the writing end of a pipe, the lifeline. The other, a small process of its own,
runs the command in a process group and ends the whole group when the command ends, when it is told to, and
when the lifeline breaks: the system closes the pipe of a process that was killed with -9. On Linux the
command is also told to end when the guard itself is killed.
"""

import argparse
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping
from queue import SimpleQueue
from types import FrameType

from shared.places import PROJECT
from shared.processes import die_with_parent, has_ended, kill_group

GRACE_SECONDS = 10.0
# Processes that carry this mark were started by the launcher of the project that it names.
MARK = "PAWLBOOK_GUARDED_FOR"


class Guarded:
    """A command that runs under a guard."""

    def __init__(
        self,
        *command: str,
        environ: Mapping[str, str],
        mark: str,
        output: int | None = None,
        grace: float = GRACE_SECONDS,
    ) -> None:
        """Start it. `mark` is how a later run knows it for one of ours; `output` a file's descriptor."""
        self._grace = grace
        held, self._lifeline = os.pipe()
        self._process = subprocess.Popen(
            [sys.executable, "-m", "shared.guard", str(held), str(grace), *command],
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=output,
            cwd=PROJECT,
            env={**environ, MARK: mark},
            start_new_session=True,
            pass_fds=[held],
        )
        os.close(held)

    @property
    def pid(self) -> int:
        """The guard's own process."""
        return self._process.pid

    def wait(self) -> int:
        """Wait for the end and return the command's exit code."""
        return self._process.wait()

    def is_running(self) -> bool:
        return self._process.poll() is None

    def stop(self) -> int:
        """End it and wait for that; the guard sees to the rest, and would even if it were never told."""
        if self._lifeline >= 0:
            os.close(self._lifeline)
            self._lifeline = -1
        if not has_ended(self._process, self._grace + GRACE_SECONDS):
            self._process.kill()
        return self._process.wait()


def _guard(command: list[str], lifeline: int, grace: float) -> int:
    events: SimpleQueue[str] = SimpleQueue()

    def told(_number: int, _frame: FrameType | None) -> None:
        events.put("told to end")

    for sent in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP):
        signal.signal(sent, told)
    child = subprocess.Popen(
        command,
        process_group=0,
        preexec_fn=lambda: die_with_parent(signal.SIGTERM),  # noqa: PLW1509 - no thread was started yet
    )

    def wait_for_child() -> None:
        child.wait()
        events.put("ended")

    def wait_for_lifeline() -> None:
        os.read(lifeline, 1)
        events.put("alone")

    for waiting in (wait_for_child, wait_for_lifeline):
        threading.Thread(target=waiting, daemon=True).start()
    if events.get() != "ended":
        child.terminate()
        has_ended(child, grace)
    kill_group(child.pid)
    return child.wait()


def main() -> None:
    parser = argparse.ArgumentParser(prog="shared.guard")
    parser.add_argument("lifeline", type=int, help="the inherited reading end of the pipe")
    parser.add_argument("grace", type=float, help="seconds between telling the command to end and killing it")
    parser.add_argument("command", nargs=argparse.REMAINDER)
    given = parser.parse_args()
    code = _guard(given.command, given.lifeline, given.grace)
    # As a shell says it: 128 and the number of the signal that ended the command.
    sys.exit(code if code >= 0 else 128 - code)


if __name__ == "__main__":
    main()
