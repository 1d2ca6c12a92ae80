"""Where a package is read from: a folder, or bytes at hand. Files are read in bounded pieces, and hashed."""

import codecs
import hashlib
import io
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Protocol

from catalog.package import faults

DESCRIPTION = "datapackage.json"
PIECE = 1 << 16
LONGEST_LINE = 1 << 16
LARGEST_TABLE = 256 << 20
LARGEST_DESCRIPTION = 1 << 20

_SAFE = re.compile(r"(?:[A-Za-z0-9_-][A-Za-z0-9_.-]*/)*[A-Za-z0-9_-][A-Za-z0-9_.-]*")
_BOM = "\N{ZERO WIDTH NO-BREAK SPACE}"


class Source(Protocol):
    """Opens the files of one package for reading, in binary. Raises ``UnsafePath`` or ``MissingFile``."""

    def open(self, path: str) -> IO[bytes]: ...


def is_safe(path: str) -> bool:
    return bool(_SAFE.fullmatch(path))


@dataclass(frozen=True, slots=True)
class Folder:
    """A package in a folder. No path, and no link, leads out of it."""

    path: Path

    def open(self, path: str) -> IO[bytes]:
        if not is_safe(path):
            raise faults.UnsafePath(path=path)
        found = (self.path / path).resolve()
        if not found.is_relative_to(self.path.resolve()):
            raise faults.UnsafePath(path=path)
        if not found.is_file():
            raise faults.MissingFile(path=path)
        try:
            return found.open("rb")
        except OSError:
            raise faults.MissingFile(path=path) from None


@dataclass(frozen=True, slots=True)
class Bytes:
    """A package at hand: its files by path, each made when it is asked for."""

    files: Mapping[str, Callable[[], bytes]]

    def open(self, path: str) -> IO[bytes]:
        if path not in self.files:
            raise faults.MissingFile(path=path)
        return io.BytesIO(self.files[path]())


@dataclass(slots=True)
class Meter:
    """Counts and hashes what passes; ``FileTooLarge`` beyond the limit, whatever size was declared."""

    limit: int
    count: int = 0
    digest: "hashlib._Hash" = field(default_factory=hashlib.sha256)

    def pieces(self, file: IO[bytes]) -> Iterator[bytes]:
        while piece := file.read(PIECE):
            self.count += len(piece)
            if self.count > self.limit:
                raise faults.FileTooLarge(limit=self.limit)
            self.digest.update(piece)
            yield piece

    @property
    def sha256(self) -> str:
        return self.digest.hexdigest()


def whole(file: IO[bytes], limit: int) -> bytes:
    return b"".join(Meter(limit).pieces(file))


def lines(file: IO[bytes], meter: Meter) -> Iterator[str]:
    """The lines of a UTF-8 file with their ends, without a byte order mark.

    Raises ``FileTooLarge``, ``LineTooLong`` or ``NotUtf8`` at the line where it is so; all lines before have
    been given by then.
    """
    rest, first = "", True
    for text in _decoded(meter.pieces(file)):
        if text is None:
            raise faults.NotUtf8
        rest += text.removeprefix(_BOM) if first and text else text
        first = first and not text
        *ended, rest = rest.split("\n")
        for line in ended:
            yield _bounded(line) + "\n"
        _bounded(rest)
    if rest:
        yield rest


def _bounded(line: str) -> str:
    if len(line) > LONGEST_LINE:
        raise faults.LineTooLong(limit=LONGEST_LINE)
    return line


def _decoded(pieces: Iterator[bytes]) -> Iterator[str | None]:
    """Text piece by piece; what is right before a fault, and then None for it."""
    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        for piece in pieces:
            yield decoder.decode(piece)
        yield decoder.decode(b"", final=True)
    except UnicodeDecodeError as error:
        yield error.object[: error.start].decode("utf-8")
        yield None
