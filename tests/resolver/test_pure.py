"""The resolver is pure: no framework, no database, no clock, no chance, no files."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from catalog import resolver

FOLDER = Path(resolver.__file__).parent
FILES = sorted(FOLDER.rglob("*.py"))
NAMES = ["shared.units", "shared.intervals", "shared.money", "shared.errors"] + [
    ".".join(("catalog", "resolver", *path.relative_to(FOLDER).with_suffix("").parts)).removesuffix(
        ".__init__"
    )
    for path in FILES
]
FORBIDDEN_PACKAGES = ("django", "rest_framework", "psycopg")
IMPURE_MODULES = {
    "random",
    "secrets",
    "time",
    "os",
    "io",
    "socket",
    "subprocess",
    "tempfile",
    "uuid",
    "pathlib",
}
IMPURE_BUILTINS = {"open", "input", "print", "exec", "eval", "compile", "__import__"}
IMPURE_METHODS = {"now", "today", "utcnow", "random", "read_text", "write_text", "read_bytes", "write_bytes"}


def test_the_modules_are_all_found() -> None:
    assert "catalog.resolver.search" in NAMES
    assert "catalog.resolver.gates.reach" in NAMES
    assert "catalog.resolver.checker.witness" in NAMES


@pytest.mark.parametrize("names", [["catalog.resolver.search"], NAMES], ids=["search", "everything"])
def test_no_framework_and_no_database_come_along(names: list[str]) -> None:
    program = f"""
import importlib, sys
for name in {names!r}:
    importlib.import_module(name)
print(sorted(name for name in sys.modules if name.partition(".")[0] in {FORBIDDEN_PACKAGES!r}))
"""
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert (ran.stdout.strip(), ran.stderr) == ("[]", "")


def impurities(tree: ast.AST) -> list[str]:
    """What a module imports or calls that reads or changes the world outside, with its line."""
    found = []
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [one.name for one in node.names if one.name.partition(".")[0] in IMPURE_MODULES]
        elif isinstance(node, ast.ImportFrom):
            names = [str(node.module)] if str(node.module).partition(".")[0] in IMPURE_MODULES else []
        elif isinstance(node, ast.Name):
            names = [node.id] if node.id in IMPURE_BUILTINS else []
        elif isinstance(node, ast.Attribute):
            names = [node.attr] if node.attr in IMPURE_METHODS else []
        found += [f"{name}, line {node.lineno}" for name in names]  # type: ignore[attr-defined]
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(FOLDER)))
def test_a_module_reads_no_clock_chance_environment_or_file(path: Path) -> None:
    assert impurities(ast.parse(path.read_text())) == []


@pytest.mark.parametrize(
    "line",
    [
        "import random",
        "import os.path",
        "from random import Random",
        "from os import environ",
        "numpy.random.default_rng()",
        "open('x')",
        "date.today()",
        "datetime.datetime.now()",
        "clock = datetime.now",
        "read = open",
        "Path('x').read_text()",
    ],
)
def test_what_is_impure_is_seen(line: str) -> None:
    assert len(impurities(ast.parse(line))) == 1
