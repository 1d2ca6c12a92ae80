"""``lookup question.json`` answers a question as JSON; ``lookup -`` answers one question a line."""

import json
import os
import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import IO, Any, NoReturn

from django.core.management.base import BaseCommand
from django.utils import timezone

from catalog.asking import LONGEST_QUESTION_BYTES, ask, read_json
from shared.errors import FaultyInput, GaveUp, PawlbookError
from shared.units import Unit

FAILED, MISUSE = 1, 2
LINES = "-"
CHUNK = 64 * 1024


class Command(BaseCommand):
    help = (
        "Answer a question, in JSON as the API takes it, and print the answer as JSON. FILE - reads one "
        "question "
        "a line from standard input and prints one answer a line; a bad line is answered by an error in its "
        "place. Exit code: 0 whatever the verdict, 2 for a bad question, 1 when there is no catalog to ask."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "file", metavar="FILE", help="a question, or - for one a line from standard input"
        )
        parser.add_argument(
            "--unit", choices=[str(unit) for unit in Unit], default="mm", help="unit of lengths in sentences"
        )
        form = parser.add_mutually_exclusive_group()
        form.add_argument("--pretty", action="store_true", default=None, help="indent (usual for a file)")
        form.add_argument(
            "--compact", action="store_false", dest="pretty", help="on one line (usual, and a must, for -)"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        # The day is the same for all lines, however long they take.
        asking = Asking(timezone.now().date(), Unit(options["unit"]))
        lines = options["file"] == LINES
        if lines and options["pretty"]:
            self._end(MISUSE, "--pretty is for a file; with - an answer is one line.")
        try:
            if lines:
                self._answer_lines(asking)
            else:
                self._answer_file(asking, Path(options["file"]), pretty=options["pretty"] is not False)
        except BrokenPipeError:
            # Whoever read the answers has had enough. What is still to be written must not fail once more.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            sys.exit(FAILED)

    def _answer_file(self, asking: "Asking", file: Path, *, pretty: bool) -> None:
        try:
            with file.open("rb") as opened:
                text = opened.read(LONGEST_QUESTION_BYTES + 1)
        except OSError as fault:
            self._end(MISUSE, f"{file} cannot be read: {fault.strerror}.")
        try:
            told = asking.answer(text)
        except PawlbookError as fault:
            self._end(_code_of(fault), _one_sentence(fault))
        self._print(told, indent=2 if pretty else None)

    def _answer_lines(self, asking: "Asking") -> None:
        asked = bad = 0
        for number, line in _lines(sys.stdin.buffer):
            asked += 1
            try:
                self._print(asking.answer(line))
            except (FaultyInput, GaveUp) as fault:
                bad += 1
                self._print({"error": _error(fault, number)})
            except PawlbookError as fault:
                self._end(_code_of(fault), _one_sentence(fault))
        if bad:
            self._end(
                MISUSE, f"{bad} of {asked} questions could not be answered; each has an error in its place."
            )

    def _print(self, told: dict[str, Any], indent: int | None = None) -> None:
        separators = None if indent else (",", ":")
        readable = "utf" in (getattr(self.stdout, "encoding", None) or "utf-8").lower()
        self.stdout.write(json.dumps(told, indent=indent, separators=separators, ensure_ascii=not readable))
        self.stdout.flush()

    def _end(self, code: int, sentence: str) -> NoReturn:
        """End with one sentence and nothing before it, as ``CommandError`` would put."""
        self.stderr.write(sentence)
        sys.exit(code)


class Asking:
    """What is the same for all questions of a run."""

    def __init__(self, today: date, unit: Unit) -> None:
        self.today, self.unit = today, unit

    def answer(self, text: bytes) -> dict[str, Any]:
        return ask(read_json(text), today=self.today).as_json(self.unit)


def _lines(stream: IO[bytes]) -> Iterator[tuple[int, bytes]]:
    """(number, line) of every line that is not blank; of one that is too long, as much as shows that."""
    number = 0
    while line := stream.readline(LONGEST_QUESTION_BYTES + 1):
        number += 1
        rest = line
        while rest and not rest.endswith(b"\n"):
            rest = stream.readline(CHUNK)
        if line.strip():
            yield number, line.rstrip(b"\r\n")


def _code_of(fault: PawlbookError) -> int:
    return MISUSE if isinstance(fault, (FaultyInput, GaveUp)) else FAILED


def _one_sentence(fault: PawlbookError) -> str:
    """The first fault with its pointer, and how many others there are."""
    if not isinstance(fault, FaultyInput):
        return str(fault)
    first, *others = fault.faults
    sentence = f"{first.pointer}: {first}" if first.pointer else str(first)
    if not others:
        return sentence
    return f"The question has {len(others) + 1} faults; the first is {sentence}"


def _error(fault: FaultyInput | GaveUp, line: int) -> dict[str, Any]:
    faults = fault.faults if isinstance(fault, FaultyInput) else ()
    return {
        "line": line,
        "code": fault.code,
        "detail": str(fault),
        "errors": [{"pointer": one.pointer, "code": one.code, "message": str(one)} for one in faults],
    }
