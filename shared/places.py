"""Where the embedded database and everything about it lie.

An ordinary user's database lies in the project's own `var/`. PostgreSQL refuses to run as root, so root's
lies under the system's variable data, in a folder named by a hash of the path of `var/`, and runs under a
user of its own. No folder above is ever opened for that user: what it cannot reach is copied to where it can.
"""

import fcntl
import hashlib
import os
import secrets
import stat
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from shared.processes import try_lock

PROJECT = Path(__file__).resolve().parent.parent
SYSTEM_STATE = Path("/var/lib/pawlbook")
# The shortest limit among the systems we run on is 104 bytes, its closing zero included.
LONGEST_SOCKET_PATH = 103
SCRATCH = "pawlbook-scratch-"
SETTLED_SECONDS = 60.0
SOCKET_NAME = ".s.PGSQL.5432"


class UnsafeFolder(Exception):
    """A folder that must be ours alone belongs to somebody else, or is open to others."""


def is_root() -> bool:
    return os.geteuid() == 0


def var_folder() -> Path:
    """The project's folder for what it makes itself: `PAWLBOOK_VAR`, or `var/`."""
    return Path(os.environ.get("PAWLBOOK_VAR") or PROJECT / "var").absolute()


def name_of(path: Path) -> str:
    """A short name that stands for a path: the first 12 hex digits of its SHA-256."""
    return hashlib.sha256(os.fsencode(path)).hexdigest()[:12]


def state_folder() -> Path:
    """`var/`; for root, a folder of the project's own that the database's user can reach."""
    return SYSTEM_STATE / name_of(var_folder()) if is_root() else var_folder()


@dataclass(frozen=True, slots=True)
class Places:
    """The files of one cluster, all below `folder`, which is ours and not the database user's."""

    folder: Path

    @property
    def data(self) -> Path:
        return self.folder / "data"

    @property
    def passwords(self) -> Path:
        """Generated passwords as JSON, mode 0600."""
        return self.folder / "secrets.json"

    @property
    def log(self) -> Path:
        return self.folder / "postgres.log"

    @property
    def keeper_log(self) -> Path:
        return self.folder / "keeper.log"

    @property
    def state(self) -> Path:
        """`ready` while the server takes connections; written by the keeper."""
        return self.folder / "state"

    @property
    def users_lock(self) -> Path:
        """Held shared by everybody who uses the cluster; exclusively by the keeper while it stops it."""
        return self.folder / "users.lock"

    @property
    def keeper_lock(self) -> Path:
        """Held by the one keeper for as long as it lives."""
        return self.folder / "keeper.lock"

    @property
    def preparing_lock(self) -> Path:
        """Held while the roles and the database are made."""
        return self.folder / "preparing.lock"

    @property
    def socket(self) -> Path:
        """The folder of the server's socket, mode 0700; elsewhere when the path would be too long for one."""
        beside = self.folder / "socket"
        if len(os.fsencode(beside / SOCKET_NAME)) <= LONGEST_SOCKET_PATH:
            return beside
        return Path(tempfile.gettempdir()) / f"pawlbook-{os.geteuid()}-{name_of(self.folder)}"

    def make(self) -> None:
        """Make the folder. As root, others may pass through it (the database's user must), not read it."""
        make_passable(self.folder)


def own_cluster() -> Places:
    """The cluster of `./run serve` and `./run manage`."""
    return Places(state_folder() / "postgres")


def scratch_cluster() -> Places:
    """A cluster that is thrown away, as the tests use; its folder is made when it is first used."""
    return Places(_above_scratch() / f"{SCRATCH}{secrets.token_hex(4)}")


def _above_scratch() -> Path:
    return state_folder() if is_root() else Path(tempfile.gettempdir())


def dead_scratch_clusters() -> list[Places]:
    """Scratch clusters that nobody uses or keeps any more: their keeper was killed before it tidied up."""
    found = [Places(folder) for folder in _above_scratch().glob(f"{SCRATCH}*")]
    return [places for places in found if _is_ours(places.folder) and _is_dead(places)]


def _is_ours(folder: Path) -> bool:
    return folder.lstat().st_uid == os.geteuid() and time.time() - folder.lstat().st_mtime > SETTLED_SECONDS


def _is_dead(places: Places) -> bool:
    if not places.users_lock.exists() or not places.keeper_lock.exists():
        return True
    with places.users_lock.open("ab") as users, places.keeper_lock.open("ab") as keeper:
        return try_lock(users, fcntl.LOCK_EX) and try_lock(keeper, fcntl.LOCK_EX)


def open_private(path: Path) -> IO[bytes]:
    """Open a file for appending, made with mode 0600 when it is missing."""
    return os.fdopen(os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600), "ab")


def make_passable(folder: Path) -> None:
    """Make a folder below the state folder; as root, one that the database's user can pass through."""
    if not is_root():
        folder.mkdir(parents=True, exist_ok=True)
        return
    for ours in (*reversed(folder.parents), folder):
        if ours.is_relative_to(SYSTEM_STATE):
            ours.mkdir(exist_ok=True)
            ours.chmod(0o711)


def make_private(folder: Path, uid: int, gid: int) -> None:
    """Make `folder` the user's alone; refuse one that somebody else has put there."""
    folder.mkdir(mode=0o700, exist_ok=True)
    found = folder.lstat()
    if not stat.S_ISDIR(found.st_mode) or found.st_uid not in {os.geteuid(), uid}:
        raise UnsafeFolder(f"{folder} belongs to somebody else; move it away and try again.")
    folder.chmod(0o700)
    if found.st_uid != uid:
        os.chown(folder, uid, gid)
