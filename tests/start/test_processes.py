"""The parts of starting that need no process, and the keeper and the guard on their own."""

import fcntl
import os
import secrets
import signal
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import psutil
import psycopg
import pytest

from shared.guard import MARK, Guarded
from shared.keeper import Use
from shared.places import LONGEST_SOCKET_PATH, PROJECT, SOCKET_NAME, Places, scratch_cluster
from shared.postgres import ADMIN, Passwords
from shared.postgres_user import CouldNotStart, account
from shared.processes import Deaths, TooManyDeaths, kill
from shared.web import Address, BadAddress
from tests.start.serving import wait_for

# --- without any process ------------------------------------------------------------------------------------


def test_the_fifth_death_within_a_minute_is_the_last() -> None:
    deaths = Deaths("web server")
    assert [deaths.note(now) for now in (0.0, 10.0, 20.0, 30.0)] == [0.1, 0.2, 0.4, 0.8]
    with pytest.raises(TooManyDeaths, match="The web server died 5 times within a minute"):
        deaths.note(59.9)


def test_old_deaths_are_forgotten() -> None:
    deaths = Deaths("web server")
    assert [deaths.note(now) for now in (0.0, 15.0, 30.0, 45.0, 60.0, 75.0, 200.0)][-1] == 0.1


@pytest.mark.parametrize(
    ("text", "host", "port", "url"),
    [
        ("127.0.0.1:8080", "127.0.0.1", 8080, "http://127.0.0.1:8080"),
        (":8080", "127.0.0.1", 8080, "http://127.0.0.1:8080"),
        ("8080", "127.0.0.1", 8080, "http://127.0.0.1:8080"),
        ("0.0.0.0", "0.0.0.0", 8000, "http://0.0.0.0:8000"),
        ("[::1]:8080", "::1", 8080, "http://[::1]:8080"),
        ("[::1]", "::1", 8000, "http://[::1]:8000"),
    ],
)
def test_addresses(text: str, host: str, port: int, url: str) -> None:
    read = Address.parse(text)
    assert (read, read.url) == (Address(host, port), url)


@pytest.mark.parametrize("text", [":0", ":65536", ":eight", "here:", "::", "[::1", "127.0.0.1:٨٠"])
def test_what_is_no_address(text: str) -> None:
    with pytest.raises(BadAddress):
        Address.parse(text)


def test_an_address_of_another_machine() -> None:
    with pytest.raises(BadAddress, match="Cannot serve on 192.0.2.1:8080: cannot assign requested address"):
        Address.parse("192.0.2.1:8080").refuse_if_taken()


def test_a_long_path_still_has_a_socket(tmp_path: Path) -> None:
    places = Places(tmp_path / ("long" * 30))
    assert len(os.fsencode(places.socket / SOCKET_NAME)) <= LONGEST_SOCKET_PATH
    assert places.socket != Places(tmp_path / ("long" * 31)).socket


# --- the keeper ---------------------------------------------------------------------------------------------

USE_IT = """
import sys
from collections.abc import Iterator
from pathlib import Path
from shared.keeper import Use
from shared.places import Places
use = Use(Places(Path(sys.argv[1])), scratch=True)
print("in use", flush=True)
sys.stdin.read()
"""


def another_user(places: Places) -> "subprocess.Popen[str]":
    user = subprocess.Popen(
        [sys.executable, "-c", USE_IT, str(places.folder)],
        cwd=PROJECT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert user.stdout
    assert user.stdout.readline() == "in use\n"
    return user


def backend(places: Places) -> int:
    """The process that the server gives to a new connection."""
    password = Passwords.of(places).admin
    with psycopg.connect(host=str(places.socket), user=ADMIN, password=password, dbname="postgres") as found:
        return found.info.backend_pid


@pytest.fixture
def places() -> Iterator[Places]:
    """A scratch cluster; should its keeper not end, it is told to."""
    made = scratch_cluster()
    yield made
    for process in psutil.process_iter(["cmdline"]):
        if str(made.folder) in (process.info["cmdline"] or []) and "shared.keeper" in process.info["cmdline"]:
            process.terminate()


def postmaster(places: Places) -> psutil.Process:
    """The server itself, as its data folder names it."""
    return psutil.Process(int((places.data / "postmaster.pid").read_text().split()[0]))


def test_users_share_a_server_until_the_last_is_gone(places: Places) -> None:
    first, second = another_user(places), another_user(places)
    server = postmaster(places)
    first.communicate()
    assert server.is_running()
    assert backend(places)
    second.kill()
    second.wait()
    wait_for("the folder is gone", lambda: not places.folder.exists())
    assert not server.is_running()


def test_only_the_database_user_reaches_the_data(places: Places) -> None:
    use = Use(places, scratch=True)
    user = account()
    for folder in (places.data, places.socket):
        assert (folder.stat().st_uid, stat.S_IMODE(folder.stat().st_mode)) == (user.uid, 0o700)
    for file in (places.passwords, places.log, places.users_lock, places.keeper_lock, places.keeper_log):
        assert (file.stat().st_uid, stat.S_IMODE(file.stat().st_mode)) == (os.geteuid(), 0o600)
    assert backend(places)
    with pytest.raises(psycopg.OperationalError, match="password authentication failed"):
        psycopg.connect(host=str(places.socket), user=ADMIN, password="guessed", dbname="postgres")
    use.end()
    assert not places.folder.exists()


def test_data_of_another_version_is_refused_and_left_alone(places: Places) -> None:
    places.make()
    places.data.mkdir()
    (places.data / "PG_VERSION").write_text("17\n")
    with pytest.raises(CouldNotStart, match=r"was made by PostgreSQL 17, and this is 18\."):
        Use(places)
    assert (places.data / "PG_VERSION").read_text() == "17\n"
    with places.keeper_lock.open("ab") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    (places.data / "PG_VERSION").unlink()
    places.data.rmdir()


# --- the guard ----------------------------------------------------------------------------------------------

# A command that will not end when told, with a child that does not either.
STUBBORN = "trap '' TERM; sh -c 'trap \"\" TERM; sleep 600' & while :; do sleep 0.1; done"


def guarded_processes(mark: str) -> list[psutil.Process]:
    found = []
    for process in psutil.process_iter():
        try:
            if process.environ().get(MARK) == mark and process.status() != psutil.STATUS_ZOMBIE:
                found.append(process)
        except (psutil.NoSuchProcess, psutil.AccessDenied):
            continue
    return found


@pytest.fixture
def mark() -> Iterator[str]:
    made = f"test {os.getpid()} {secrets.token_hex(4)}"
    yield made
    for left in guarded_processes(made):
        kill(left)


@pytest.mark.parametrize("sent", [signal.SIGTERM, signal.SIGHUP])
def test_a_guard_ends_even_what_does_not_want_to(mark: str, sent: signal.Signals) -> None:
    guarded = Guarded("sh", "-c", STUBBORN, environ=os.environ, mark=mark, grace=0.2)
    wait_for("all of it runs", lambda: len(guarded_processes(mark)) >= 4)
    psutil.Process(guarded.pid).send_signal(sent)
    assert guarded.wait() == 128 + signal.SIGKILL
    wait_for("nothing of it is left", lambda: not guarded_processes(mark))


HOLD_IT = """
import os, sys, time
from shared.guard import Guarded
guarded = Guarded("sh", "-c", sys.argv[1], environ=os.environ, mark=sys.argv[2], grace=0.2)
time.sleep(600)
"""


def test_a_guard_ends_when_its_holder_is_killed(mark: str) -> None:
    holder = subprocess.Popen([sys.executable, "-c", HOLD_IT, STUBBORN, mark], cwd=PROJECT)
    wait_for("all of it runs", lambda: len(guarded_processes(mark)) >= 4)
    holder.kill()
    holder.wait()
    wait_for("nothing of it is left", lambda: not guarded_processes(mark))


def test_a_guard_passes_on_how_its_command_ended() -> None:
    assert Guarded("sh", "-c", "exit 7", environ=os.environ, mark="test").wait() == 7
