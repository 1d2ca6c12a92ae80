"""`./run serve`: it comes up, survives the death of its parts, ends on every signal, and loses nothing."""

import http.client
import signal
import socket
from collections.abc import Iterator
from contextlib import suppress
from functools import partial

import psutil
import pytest

from shared.web import Address
from tests.browsing import free_port
from tests.start.serving import Running, Site, wait_for

KEPT = "kept-through-it-all"
SHOW = "from django.contrib.sessions.models import Session as S; print(S.objects.get().session_key)"


@pytest.fixture(autouse=True)
def ended(site: Site) -> Iterator[None]:
    """A test that fails leaves nothing running for the next one to stumble over."""
    yield
    for process in site.processes():
        with suppress(psutil.NoSuchProcess):
            process.kill()


def write_session(site: Site) -> None:
    with site.connect() as connection:
        connection.execute(
            "INSERT INTO django_session (session_key, session_data, expire_date) VALUES (%s, '', now())"
            " ON CONFLICT DO NOTHING",
            [KEPT],
        )


def shown(site: Site) -> str:
    """What a management command finds in the database, started for it if nothing else runs."""
    managed = site.run("manage", "shell", "--no-imports", "-c", SHOW)
    assert managed.returncode == 0, managed.stderr
    return managed.stdout.strip()


def has_session(site: Site) -> bool:
    with site.connect() as connection:
        return bool(connection.execute("SELECT 1 FROM django_session").fetchall())


def status(running: Running) -> int:
    address = Address.parse(running.url.removeprefix("http://"))
    asked = http.client.HTTPConnection(address.host, address.port, timeout=60)
    asked.request("GET", "/")
    try:
        return asked.getresponse().status
    finally:
        asked.close()


def answers(running: Running) -> bool:
    try:
        return status(running) < 500
    except (OSError, http.client.HTTPException):
        return False


def test_it_serves_and_commands_share_its_database(site: Site) -> None:
    running = site.serve()
    assert status(running) < 500
    write_session(site)
    assert shown(site) == KEPT

    second = site.run("serve", f"127.0.0.1:{free_port()}")
    assert second.returncode == 2
    assert second.stderr == f"Pawlbook is being served from this folder already, at {running.url}\n"

    assert running.end(signal.SIGTERM) == 0
    assert running.said.endswith("Pawlbook has stopped.\n")
    assert not site.processes()


def _has_said(running: Running, times: int) -> bool:
    return running.said.count("Pawlbook is ready again") >= times


def test_a_part_that_is_killed_comes_back(site: Site) -> None:
    running = site.serve()
    write_session(site)
    # The web comes up again for each of the last two, and says so before the next is killed.
    for find, said in ((server, 0), (keeper, 0), (granian, 1), (guard, 2)):
        victim = find(site)
        victim.kill()
        psutil.wait_procs([victim], timeout=60)
        wait_for("the database answers again", site.answers)
        wait_for("the web answers again", lambda: answers(running))
        assert has_session(site), find
        wait_for("it says so", partial(_has_said, running, said))
    assert running.is_alive
    assert running.said.count("Pawlbook is ready again") == 2
    assert "Traceback" not in running.said

    # Ctrl-C reaches everything that has the terminal, which the parts must not have.
    assert running.end_as_terminal(signal.SIGINT) == 0
    assert not site.processes()


def server(site: Site) -> psutil.Process:
    return site.process("bin/postgres", "-D")


def keeper(site: Site) -> psutil.Process:
    return site.process("shared.keeper")


def guard(site: Site) -> psutil.Process:
    return site.process("shared.guard", "granian")


def granian(site: Site) -> psutil.Process:
    (child,) = guard(site).children()
    return child


def test_a_closed_terminal_leaves_nothing_and_loses_nothing(site: Site) -> None:
    running = site.serve()
    write_session(site)
    assert running.end_as_terminal(signal.SIGHUP) == 0
    assert not site.processes()
    assert shown(site) == KEPT
    site.wait_until_nothing_is_left()


def test_killed_outright_it_leaves_nothing_behind_and_loses_nothing(site: Site) -> None:
    running = site.serve()
    write_session(site)
    assert running.end(signal.SIGKILL) == -signal.SIGKILL
    site.wait_until_nothing_is_left()

    # Now with all that would have tidied up: what is left is found at the next start.
    running = site.serve()
    assert has_session(site)
    victims = [guard(site), keeper(site), granian(site), server(site)]
    worker = granian(site).children()[0]
    running.process.kill()
    for victim in victims:
        victim.kill()
    told_to_stop_while_it_starts(site)
    assert not worker.is_running()
    assert not site.processes()


def told_to_stop_while_it_starts(site: Site) -> None:
    running = site.start("serve", f"127.0.0.1:{free_port()}")
    wait_for("the database is kept", lambda: site.runs("shared.keeper"))
    assert running.end(signal.SIGTERM) == 0
    assert "ready" not in running.said


def test_commands_side_by_side_share_one_server(site: Site) -> None:
    both = [site.start("manage", "check", "--database", "default") for _ in range(2)]
    assert [running.process.wait() for running in both] == [0, 0], [running.said for running in both]
    site.wait_until_nothing_is_left()


def test_a_port_that_is_taken_is_one_sentence(site: Site) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        taken = f"127.0.0.1:{other.getsockname()[1]}"
        refused = site.run("serve", taken)
    assert (refused.returncode, refused.stdout) == (2, "")
    assert refused.stderr == (
        f"Cannot serve on {taken}: address already in use. Give another: ./run serve :8001\n"
    )
