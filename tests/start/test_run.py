"""`./run` itself: which Python it takes, how it installs, what it says when it cannot.

It runs in a folder of its own with a package of our own to install, from a file and by its hash, so that
nothing is fetched. The programs it may find are those of a folder that the test fills.
"""

import base64
import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from shared.places import PROJECT

TOOLS = ("cat", "cksum", "dirname", "env", "grep", "id", "mkdir", "rm", "sh", "tail")


class Clone:
    """A folder with `run`, requirements for one package, and a launcher that says what it was given."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "a project"
        self.programs = folder / "programs"
        (self.folder / "shared").mkdir(parents=True)
        self.programs.mkdir()
        for tool in TOOLS:
            (self.programs / tool).symlink_to(str(shutil.which(tool)))
        shutil.copy(PROJECT / "run", self.folder)
        (self.folder / "shared" / "__init__.py").touch()
        (self.folder / "shared" / "launch.py").write_text(
            "import sys, probe; print('launched', *sys.argv[1:], probe.__file__)\n"
        )
        self.require("1.0", self.make_wheel("1.0"))

    def make_wheel(self, version: str) -> str:
        """Make the package; return its hash."""
        about = f"probe-{version}.dist-info"
        files = {
            "probe.py": "",
            f"{about}/METADATA": f"Metadata-Version: 2.1\nName: probe\nVersion: {version}\n",
            f"{about}/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        }
        record = "".join(f"{name},{_record_hash(text)},{len(text)}\n" for name, text in files.items())
        files[f"{about}/RECORD"] = f"{record}{about}/RECORD,,\n"
        path = self.folder / f"probe-{version}-py3-none-any.whl"
        with zipfile.ZipFile(path, "w") as wheel:
            for name, text in files.items():
                wheel.writestr(name, text)
        return hashlib.sha256(path.read_bytes()).hexdigest()

    def require(self, version: str, sha256: str) -> None:
        for name in ("requirements.txt", "requirements-dev.txt"):
            wanted = f"probe=={version} --hash=sha256:{sha256}"
            (self.folder / name).write_text(f"--no-index\n--find-links .\n{wanted}\n")

    def put(self, name: str, script: str) -> None:
        """Put a program on the path."""
        program = self.programs / name
        program.unlink(missing_ok=True)
        program.write_text(f"#!/bin/sh\n{script}\n")
        program.chmod(0o755)

    def put_python(self, name: str = "python3.13") -> None:
        self.put(name, f'exec "{os.path.realpath(sys.executable)}" "$@"')

    @property
    def environ(self) -> dict[str, str]:
        needed = {name: os.environ[name] for name in ("LD_LIBRARY_PATH",) if name in os.environ}
        return {**needed, "PATH": str(self.programs), "HOME": str(self.folder.parent)}

    def run(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        return self.start(*arguments).finish()

    def start(self, *arguments: str) -> "Started":
        process = subprocess.Popen(
            [str(self.folder / "run"), *arguments],
            cwd=self.folder.parent, env=self.environ, text=True,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip
        return Started(process)


class Started:
    """A run that has been started."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process

    def finish(self) -> subprocess.CompletedProcess[str]:
        said, complained = self.process.communicate()
        return subprocess.CompletedProcess(self.process.args, self.process.returncode, said, complained)


def _record_hash(text: str) -> str:
    digest = hashlib.sha256(text.encode()).digest()
    return "sha256=" + base64.urlsafe_b64encode(digest).rstrip(b"=").decode()


@pytest.fixture
def clone(tmp_path: Path) -> Clone:
    return Clone(tmp_path)


def test_it_installs_once_and_again_only_when_the_requirements_change(clone: Clone) -> None:
    clone.put_python()
    first = clone.run("manage", "check", "two words")
    assert first.returncode == 0, first.stderr
    assert first.stdout.startswith("launched manage check two words ")
    assert str(clone.folder / ".venv") in first.stdout
    assert first.stderr == "run: installing 1 packages into .venv (only when requirements.txt changed)\n"

    assert clone.run("manage").stderr == ""

    right = clone.make_wheel("2.0")
    clone.require("2.0", "0" * 64)
    refused = clone.run("manage")
    assert refused.returncode == 2
    assert "could not be installed" in refused.stderr
    assert refused.stdout == ""

    clone.require("2.0", right)
    again = clone.run("manage")
    assert (again.returncode, again.stderr.count("installing")) == (0, 1)


def test_two_at_once_install_once(clone: Clone) -> None:
    clone.put_python()
    both = [started.finish() for started in [clone.start("manage", name) for name in ("one", "two")]]
    assert [ended.returncode for ended in both] == [0, 0], [ended.stderr for ended in both]
    assert [ended.stdout.split()[2] for ended in both] == ["one", "two"]
    said = "".join(ended.stderr for ended in both)
    assert said.count("installing 1 packages") == 1
    assert said.count("another run is installing") == 1


def test_shims_that_are_dead_are_passed_over(clone: Clone) -> None:
    clone.put("uv", "exit 127")
    clone.put("python3.13", "exit 127")
    clone.put_python("python3.12")
    started = clone.run("manage")
    assert (started.returncode, started.stdout.split()[0]) == (0, "launched"), started.stderr


def test_a_python_without_pip_brings_its_own(clone: Clone) -> None:
    """It says that it is itself, so that the venv is made by it and not by the real one behind it."""
    real = os.path.realpath(sys.executable)
    clone.put(
        "python3.13",
        'case "$*" in\n"-c import sys; print(sys.executable)") echo "$0"; exit ;;\n'
        '"-m pip"*) exit 1 ;;\nesac\n'
        f'exec "{real}" "$@"',
    )
    started = clone.run("manage")
    assert (started.returncode, started.stdout.split()[0]) == (0, "launched"), started.stderr
    assert list((clone.folder / ".venv").glob("lib/*/site-packages/pip"))


def test_a_python_of_a_version_manager_is_found(clone: Clone) -> None:
    managed = clone.folder.parent / ".pyenv" / "versions" / "3.13.99" / "bin"
    managed.mkdir(parents=True)
    (managed / "python").symlink_to(os.path.realpath(sys.executable))
    started = clone.run("manage")
    assert started.returncode == 0, started.stderr


def test_only_an_older_python_is_one_line(clone: Clone) -> None:
    clone.put("python3", 'case "$2" in *platform*) echo 3.9.2 ;; *) exit 1 ;; esac')
    refused = clone.run("serve")
    assert (refused.returncode, refused.stdout) == (2, "")
    assert refused.stderr == (
        "run: Python 3.12, 3.13 or 3.14 is needed, and there is only 3.9.2. Install one and run this again.\n"
    )


def test_no_python_at_all(clone: Clone) -> None:
    refused = clone.run("serve")
    assert refused.returncode == 2
    assert "and there is none. Install one" in refused.stderr


def test_help_and_a_word_that_is_no_command(clone: Clone) -> None:
    shown = clone.run("help")
    assert (shown.returncode, shown.stderr) == (0, "")
    assert shown.stdout == clone.run().stdout == clone.run("--help").stdout
    for command in ("serve", "test", "manage", "bench", "soak", "mutants"):
        assert f"\n  {command}" in shown.stdout
    refused = clone.run("sail")
    assert refused.returncode == 2
    assert refused.stderr.endswith("run: there is no command 'sail'\n")


def test_tests_without_a_browser_fail_and_say_how_to_get_one(clone: Clone) -> None:
    clone.put_python()
    clone.put("id", "echo 1000")
    refused = clone.run("test")
    assert refused.returncode == 2
    assert "apt-get install chromium" in refused.stderr
