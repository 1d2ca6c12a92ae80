import secrets
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.start.serving import Site


@pytest.fixture(scope="module")
def site() -> Iterator[Site]:
    """One for a file of tests: each of them finds what the ones before it left in the database."""
    made = Site(Path(tempfile.gettempdir()) / f"pawlbook-start-{secrets.token_hex(4)}")
    yield made
    made.remove()
