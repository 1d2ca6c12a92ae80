"""What `./run serve` and `./run manage` call, in the environment that `./run` has made."""

import argparse
import os
import sys
from typing import NoReturn

from shared import own_database
from shared.places import PROJECT
from shared.postgres_user import CouldNotStart
from shared.processes import TooManyDeaths
from shared.roles import UnfitServer
from shared.serving import AlreadyServed, DidNotStart, Serving
from shared.web import USUAL_HOST, USUAL_PORT, Address, BadAddress

REFUSED = (AlreadyServed, BadAddress, UnfitServer)
FAILED = (CouldNotStart, DidNotStart, TooManyDeaths)


def serve(address: str) -> None:
    Serving(Address.parse(address)).run()


def manage(arguments: list[str]) -> NoReturn:
    """Become the management command, with the database running and named in the environment.

    The open lock goes along: when the command ends, however it does, the database is not used and stops.
    """
    environ = dict(os.environ)
    if not environ.get("DATABASE_URL", "").strip():
        found = own_database.find()
        environ = found.environ(owner=True)
        if found.use:
            os.set_inheritable(found.use.descriptor, True)  # noqa: FBT003 - it takes no name
    os.chdir(environ.get("PAWLBOOK_CALLED_FROM") or PROJECT)
    os.execve(sys.executable, [sys.executable, str(PROJECT / "manage.py"), *arguments], environ)


def main(arguments: list[str]) -> None:
    if arguments[:1] == ["manage"]:
        manage(arguments[1:])
    parser = argparse.ArgumentParser(prog="./run")
    serving = parser.add_subparsers(required=True).add_parser("serve")
    serving.add_argument("address", nargs="?", default=f"{USUAL_HOST}:{USUAL_PORT}", metavar="ADDRESS:PORT")
    serve(parser.parse_args(arguments).address)


if __name__ == "__main__":
    try:
        main(sys.argv[1:])
    except REFUSED as reason:
        print(reason, file=sys.stderr)
        sys.exit(2)
    except FAILED as reason:
        sys.exit(str(reason))
