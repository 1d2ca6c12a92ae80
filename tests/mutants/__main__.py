"""`./run mutants [WORD …]`: break the code on purpose and see that a test turns red.

Each `tests/mutants/*.patch` names in its first line the test that must fail:

    # test: tests/resolver/test_reach.py::test_window_has_two_ends

The tree is copied, the named tests are run once as it is (they must pass), then each patch is applied alone
and its test run (it must fail, not merely break). A patch that no longer applies is a failure: the code that
it was about has changed, and with it what the test is worth. Words choose the patches whose names contain one
of them.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue

from shared.keeper import Use
from shared.places import PROJECT, scratch_cluster, var_folder
from tests.cluster import CLUSTER, SERVER

PATCHES = Path(__file__).parent
MARK = "# test: "
SIDE_BY_SIDE = 2
PATIENCE_SECONDS = 600
RED = re.compile(r"^\d+ failed", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Mutant:
    """One patch and the test that must notice it."""

    patch: Path
    test: str

    @property
    def name(self) -> str:
        return self.patch.stem


class NoMutant(Exception):
    """There is nothing to run, or a patch does not say which test it is for."""


def read(patch: Path) -> Mutant:
    first = patch.read_text().split("\n", 1)[0]
    if not first.startswith(MARK):
        raise NoMutant(f"{patch.name} must begin with '{MARK}tests/path::name'.")
    return Mutant(patch, first.removeprefix(MARK).strip())


def chosen(words: list[str]) -> list[Mutant]:
    found = sorted(PATCHES.glob("*.patch"))
    patches = [patch for patch in found if not words or any(word in patch.stem for word in words)]
    if not patches:
        raise NoMutant(f"No patch in {PATCHES.relative_to(PROJECT)} has such a name.")
    return [read(patch) for patch in patches]


def copy_tree(to: Path) -> None:
    """Copy what git has or would take, as it is now, and nothing that was built here."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=PROJECT, capture_output=True, check=True,
    )  # fmt: skip
    for name in filter(None, listed.stdout.decode().split("\0")):
        source = PROJECT / name
        if source.is_file():
            (to / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(source, to / name)
    (to / ".venv").symlink_to(PROJECT / ".venv")


def run_tests(tree: Path, *tests: str) -> tuple[int | None, str]:
    """Run tests in a copy. Returns the exit code (None: they did not end) and what they said."""
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-x",
        "-q",
        "-p",
        "no:cacheprovider",
        "--hypothesis-seed=0",
        *tests,
    ]
    # A changed file of the same size in the same second would be taken for its own compiled form.
    environ = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        ended = subprocess.run(
            command,
            cwd=tree,
            env=environ,
            capture_output=True,
            text=True,
            timeout=PATIENCE_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return None, "the test did not end"
    return ended.returncode, ended.stdout + ended.stderr


def apply(tree: Path, patch: Path, *how: str) -> bool:
    command = ["git", "apply", *how, str(patch)]
    # Only the copy: not the repository that it may happen to lie in.
    environ = {**os.environ, "GIT_CEILING_DIRECTORIES": str(tree.parent)}
    return subprocess.run(command, cwd=tree, env=environ, capture_output=True, check=False).returncode == 0


def try_mutant(tree: Path, mutant: Mutant) -> str:
    """What is wrong; nothing when the test turned red as it must."""
    if not apply(tree, mutant.patch):
        return "the patch no longer applies"
    try:
        code, said = run_tests(tree, mutant.test)
    finally:
        apply(tree, mutant.patch, "--reverse")
    if code == 1 and RED.search(said):
        return ""
    if code == 0:
        return "the test stays green"
    return "the test broke and did not fail:\n" + said[-1500:]


def try_all(mutants: list[Mutant], trees: list[Path]) -> int:
    """Try each, some side by side in copies of their own; print a line for each. Returns how many failed."""
    free: SimpleQueue[Path] = SimpleQueue()
    for tree in trees:
        free.put(tree)

    def work(mutant: Mutant) -> str:
        tree = free.get()
        try:
            return try_mutant(tree, mutant)
        finally:
            free.put(tree)

    failed = 0
    with ThreadPoolExecutor(len(trees)) as pool:
        for mutant, wrong in zip(mutants, pool.map(work, mutants), strict=True):
            failed += bool(wrong)
            print(f"{'FAILED' if wrong else 'red   '}  {mutant.name}  {mutant.test}  {wrong}", flush=True)
    return failed


def run(words: list[str]) -> int:
    mutants = chosen(words)
    os.environ["PAWLBOOK_VAR"] = str(var_folder())
    use = None
    if "DATABASE_URL" not in os.environ and SERVER not in os.environ:
        use = Use(scratch_cluster(), scratch=True)
        os.environ[CLUSTER] = str(use.places.folder)
    with tempfile.TemporaryDirectory(prefix="pawlbook-mutants-") as above:
        trees = [Path(above) / str(number) for number in range(min(SIDE_BY_SIDE, len(mutants)))]
        for tree in trees:
            copy_tree(tree)
        code, said = run_tests(trees[0], *sorted({mutant.test for mutant in mutants}))
        if code != 0:
            print(f"The tests fail before anything is broken:\n{said[-3000:]}")
            return len(mutants)
        failed = try_all(mutants, trees)
    if use:
        use.end()
    print(f"{len(mutants) - failed} passed, {failed} failed")
    return failed


if __name__ == "__main__":
    try:
        sys.exit(1 if run(sys.argv[1:]) else 0)
    except NoMutant as reason:
        print(reason, file=sys.stderr)
        sys.exit(2)
