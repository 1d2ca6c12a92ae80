"""What is installed: by hash, from wherever the machine fetches, in step with `pyproject.toml`."""

import re
import tomllib

import pytest
from packaging.requirements import Requirement

from shared.places import PROJECT

PINNED = re.compile(r"^([a-z0-9-]+)==([^ ;]+)", re.MULTILINE)
PYPROJECT = tomllib.loads((PROJECT / "pyproject.toml").read_text())["project"]
RUNTIME = PYPROJECT["dependencies"]
DEV = RUNTIME + PYPROJECT["optional-dependencies"]["dev"]


def pinned(name: str) -> dict[str, str]:
    return dict(PINNED.findall((PROJECT / name).read_text()))


@pytest.mark.parametrize(("name", "wanted"), [("requirements.txt", RUNTIME), ("requirements-dev.txt", DEV)])
def test_what_is_wanted_is_pinned_with_hashes(name: str, wanted: list[str]) -> None:
    found = pinned(name)
    for requirement in map(Requirement, wanted):
        key = re.sub(r"[-_.]+", "-", requirement.name).lower()
        assert key in found, f"{requirement} is not in {name}: compile it again (DEVELOPERS.md)"
        assert requirement.specifier.contains(found[key]), f"{requirement} and {key}=={found[key]}"
    text = (PROJECT / name).read_text()
    assert len(re.findall(r"==[^\n]*\\\n    --hash=sha256:", text)) == len(found)


@pytest.mark.parametrize("name", ["requirements.txt", "requirements-dev.txt"])
def test_no_address_is_committed(name: str) -> None:
    assert "//" not in (PROJECT / name).read_text()


def test_the_tools_run_on_the_versions_that_are_served() -> None:
    runtime, dev = pinned("requirements.txt"), pinned("requirements-dev.txt")
    assert {name: dev.get(name) for name in runtime} == runtime
