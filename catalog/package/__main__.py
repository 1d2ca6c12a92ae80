"""Check or rewrite a package without Django: ``python -m catalog.package check FOLDER``."""

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from catalog.package import Mistake, Reading, canonical, codes_of, read, write_files
from catalog.package.documentation import document
from catalog.package.sources import DESCRIPTION, Folder

MOST_PRINTED = 1_000


def main(arguments: Sequence[str] | None = None) -> int:
    """Exit code: 0 right, 1 with mistakes, 2 misuse."""
    given = _parser().parse_args(arguments)
    if given.command == "document":
        print(document())
        return 0
    folder = Path(given.folder)
    if not folder.is_dir():
        print(f"There is no folder {given.folder}.", file=sys.stderr)
        return 2
    reading = read(Folder(folder), described=(folder / DESCRIPTION).exists() or given.command == "check")
    if reading.package is None:
        report(reading, as_json=given.json)
        return 1
    form = canonical(reading.package)
    if given.command == "canonical":
        write_files(form.files, Path(given.target))
    counted = ", ".join(f"{count} {name}" for name, count in reading.package.counts.items() if count)
    print(json.dumps({"sha256": form.sha256}) if given.json else f"Right: {counted}. SHA-256 {form.sha256}")
    return 0


def report(reading: Reading, *, as_json: bool) -> None:
    """Print the mistakes, at most ``MOST_PRINTED`` of them, and how many there are of each code."""
    shown = reading.mistakes[:MOST_PRINTED]
    if as_json:
        print(mistakes_json(shown, reading.count))
        return
    for mistake in shown:
        print(mistake)
    print(summary(reading), file=sys.stderr)


def mistakes_json(shown: Sequence[Mistake], count: int) -> str:
    return json.dumps({"count": count, "mistakes": [one.as_json() for one in shown]}, ensure_ascii=False)


def summary(reading: Reading) -> str:
    codes = ", ".join(f"{count} × {code}" for code, count in sorted(codes_of(reading.mistakes).items()))
    beyond = f"; the first {MOST_PRINTED:,} are listed" if reading.count > MOST_PRINTED else ""
    return f"{reading.count} mistake{'' if reading.count == 1 else 's'}{beyond}: {codes}."


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m catalog.package")
    commands = parser.add_subparsers(dest="command", required=True)
    check = commands.add_parser("check", help="report every mistake of a package")
    check.add_argument("folder")
    check.add_argument("--json", action="store_true", help="report as JSON")
    rewrite = commands.add_parser(
        "canonical", help="write the canonical form of a package, which need not have a datapackage.json"
    )
    rewrite.add_argument("folder")
    rewrite.add_argument("target")
    rewrite.add_argument("--json", action="store_true", help="report as JSON")
    commands.add_parser("document", help="print the documentation of every resource and field")
    return parser


if __name__ == "__main__":
    sys.exit(main())
