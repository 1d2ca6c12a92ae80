"""The web server as a process: its command, when it is ready, how it ends."""

import http.client
import os
import re
import socket
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from shared.guard import Guarded

USUAL_HOST = "127.0.0.1"
USUAL_PORT = 8000
THREADS = 8
# An IPv6 address stands in brackets, since its own colons would be taken for the port's.
WRITTEN = re.compile(r"(?P<host>\[[^\[\]]+\]|[^:\[\]]+)?(:(?P<port>[0-9]{1,5}))?")
READY_SECONDS = 120.0
STEP_SECONDS = 0.05


class BadAddress(Exception):
    """The address to serve on is not one, or cannot be had."""


@dataclass(frozen=True, slots=True)
class Address:
    """Where to serve."""

    host: str
    port: int

    @classmethod
    def parse(cls, text: str) -> "Address":
        """Read `ADDRESS:PORT`, `:PORT`, `PORT`, `ADDRESS` or `[IPv6]:PORT`; what is missing is the usual.

        >>> Address.parse("[::1]:8080")
        Address(host='::1', port=8080)
        """
        found = WRITTEN.fullmatch(f":{text}" if text.isdecimal() else text)
        port = int(found["port"] or USUAL_PORT) if found else 0
        if not found or not 1 <= port <= 65535:
            raise BadAddress(f"'{text}' is not an address and port like {USUAL_HOST}:{USUAL_PORT}.")
        return cls((found["host"] or USUAL_HOST).strip("[]"), port)

    @property
    def url(self) -> str:
        return f"http://{f'[{self.host}]' if ':' in self.host else self.host}:{self.port}"

    @property
    def to_ask(self) -> str:
        """Where to ask a server that listens here: itself, when it listens everywhere."""
        return {"0.0.0.0": USUAL_HOST, "::": "::1"}.get(self.host, self.host)  # noqa: S104 - only looked up

    def answers(self) -> bool:
        """Whether a web server answers here, whatever it says."""
        asked = http.client.HTTPConnection(self.to_ask, self.port, timeout=1)
        try:
            asked.request("HEAD", "/")
            asked.getresponse()
        except (OSError, http.client.HTTPException):
            return False
        finally:
            asked.close()
        return True

    def refuse_if_taken(self) -> None:
        """Say now, and in one sentence, what the server would say later in many."""
        try:
            family, kind, *_, where = socket.getaddrinfo(self.host, self.port, type=socket.SOCK_STREAM)[0]
            with socket.socket(family, kind) as tried:
                tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
                tried.bind(where)
                tried.listen(1)
        except socket.gaierror:
            raise BadAddress(f"'{self.host}' is no address of this machine.") from None
        except OSError as reason:
            why = os.strerror(reason.errno or 0).lower()
            where_to = f"{self.host}:{self.port}"
            raise BadAddress(f"Cannot serve on {where_to}: {why}. Give another: ./run serve :8001") from None


class Web:
    """One run of the web server: granian with one worker, whose threads share what is compiled."""

    def __init__(
        self, address: Address, *, environ: Mapping[str, str], mark: str, output: int | None = None
    ) -> None:
        self.address = address
        self._ready = False
        self.guarded = Guarded(
            *(sys.executable, "-m", "granian", "--interface", "wsgi", "--no-ws", "--workers", "1"),
            *("--blocking-threads", str(THREADS), "--backlog", "1024", "--log-level", "error"),
            *("--no-access-log", "--host", address.host, "--port", str(address.port)),
            "api.wsgi:application",
            environ=environ,
            mark=mark,
            output=output,
        )

    def wait_until_ready(
        self, *, unless: Callable[[], bool] = lambda: False, seconds: float = READY_SECONDS
    ) -> bool:
        """Wait until it answers anything at all; False when it ended, was too long, or `unless` came true."""
        until = time.monotonic() + seconds
        while not self._ready and self.guarded.is_running() and not unless() and time.monotonic() < until:
            self._ready = self.address.answers()
            if not self._ready:
                time.sleep(STEP_SECONDS)
        return self._ready

    def stop(self) -> int:
        """End it. A granian told to end while it starts may hang, so it is given time to start first."""
        self.wait_until_ready(seconds=5)
        return self.guarded.stop()


def main() -> None:
    """Exit with 0 if a server answers at the address given: the health check of the container."""
    sys.exit(0 if Address.parse(sys.argv[1]).answers() else 1)


if __name__ == "__main__":
    main()
