"""Reading one table: bytes to rows, with every mistake of a line, a cell or a row."""

import csv
from array import array
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import IO, Any

from catalog.package import faults
from catalog.package.kinds import Value
from catalog.package.mistakes import Mistakes
from catalog.package.resource import AnyRow, Column, Key, Resource
from catalog.package.rules import Rule
from catalog.package.sources import LARGEST_TABLE, Meter, lines
from shared.errors import FaultyInput


@dataclass(slots=True)
class Table:
    """What could be read of one table.

    ``keys`` also holds the keys of rows with mistakes elsewhere, so that nothing that refers to them is
    called missing. ``broken`` names, by the row's place, the columns that could not be read; ``blurred``
    holds the first key value of each group of rows of which one could not be read whole, ``blind`` that even
    this is not known of some row. ``readable`` is False when the table could not be read to its end.
    """

    resource: Resource[Any]
    file: str
    rows: list[AnyRow] = field(default_factory=list)
    lines: "array[int]" = field(default_factory=lambda: array("L"))
    keys: dict[Key, int] = field(default_factory=dict)
    broken: dict[int, frozenset[str]] = field(default_factory=dict)
    blurred: set[Value] = field(default_factory=set)
    blind: bool = False
    readable: bool = False

    def whole(self, place: int, *columns: str) -> bool:
        """Whether the columns of the row at this place could be read."""
        return not self.broken or self.broken.get(place, frozenset()).isdisjoint(columns)

    def each(self, *columns: str) -> Iterator[tuple[int, Any]]:
        """(line, row) of every row of which the columns could be read."""
        for place, row in enumerate(self.rows):
            if self.whole(place, *columns):
                yield self.lines[place], row


def read_table(
    resource: Resource[Any], path: str, file: IO[bytes], mistakes: Mistakes, *, checked: bool
) -> tuple[Table, Meter]:
    """Read a table. With ``checked`` False the rules within rows are left out (a stored file passed them)."""
    table, meter = Table(resource, path), Meter(LARGEST_TABLE)
    _Reading(table, mistakes, lines(file, meter), resource.rules if checked else ()).run()
    return table, meter


class _Reading:
    def __init__(
        self, table: Table, mistakes: Mistakes, text: Iterator[str], rules: tuple[Rule, ...]
    ) -> None:
        self.table, self.mistakes, self.rules = table, mistakes, rules
        self.reader = csv.reader(text, strict=True)
        self.resource = table.resource
        self.line = 1

    def fault(self, fault: FaultyInput, column: str | None = None, value: str | None = None) -> None:
        self.mistakes.add(fault, file=self.table.file, line=self.line, column=column, value=value)

    def records(self) -> Iterator[list[str]]:
        """The records that are CSV, without blank lines; the others are reported. Keeps ``line``."""
        while True:
            self.line = self.reader.line_num + 1
            try:
                record = next(self.reader, None)
            except csv.Error as error:
                self.table.blind = True
                self.fault(faults.BadQuoting(reason=str(error)))
                continue
            except FaultyInput as fault:
                self.line = self.reader.line_num + 1
                self.fault(fault)
                return
            if record is None:
                self.table.readable = True
                return
            if record:
                yield record

    def run(self) -> None:
        records = self.records()
        header = next(records, None)
        if header is None:
            if self.table.readable:
                self.fault(faults.NoHeader())
            self.table.readable = False
            return
        plan = self.plan(header)
        if plan is None:
            self.table.readable = False
            return
        for record in records:
            if len(record) == len(header):
                self.row(plan, record)
            else:
                self.fault(faults.ColumnCount(found=len(record), expected=len(header)))
                self.misshapen(plan, record)

    def plan(self, header: list[str]) -> "Plan | None":
        """Where each column stands, or None when the header has a mistake."""
        names, before = self.resource.names, self.mistakes.count
        for name in header:
            if name not in names:
                self.fault(faults.UnknownColumn(name=name or "(empty)"), value=name)
        for name in names:
            if name not in header:
                self.fault(faults.MissingColumn(name=name), column=name)
            elif header.count(name) > 1:
                self.fault(faults.RepeatedColumn(name=name), column=name)
        if self.mistakes.count > before:
            return None
        return [(column, column.kind.read, header.index(column.name)) for column in self.resource.columns]

    def row(self, plan: "Plan", record: list[str]) -> None:
        values: list[Value] = []
        broken: set[str] = set()
        for column, read, place in plan:
            text = record[place]
            if not text and column.optional:
                values.append(None)
                continue
            try:
                if not text:
                    raise faults.Needed(column=column.name)
                if not text.isprintable():
                    raise faults.Unprintable(given=text)
                values.append(read(text))
            except FaultyInput as fault:
                self.fault(fault, column.name, text)
                broken.add(column.name)
                values.append(None)
        self.keep(self.settled(self.resource.make(values), record, plan, broken), broken)

    def settled(self, row: AnyRow, record: list[str], plan: "Plan", broken: set[str]) -> AnyRow:
        """The row as it is kept, after the rules within it."""
        for rule in self.rules:
            if broken.isdisjoint(rule.columns):
                for name, fault in rule.check(row):
                    self.fault(fault, name, record[self.place(plan, name)])
        if self.resource.settle is None or broken:
            return row
        try:
            settled: AnyRow = self.resource.settle(row)
        except FaultyInput as fault:
            last = self.resource.names[-1]
            self.fault(fault, last, record[self.place(plan, last)])
            broken.add(last)
            return row
        return settled

    def place(self, plan: "Plan", name: str) -> int:
        """Where in a record the column stands."""
        return plan[self.resource.names.index(name)][2]

    def keep(self, row: AnyRow, broken: set[str]) -> None:
        table, key = self.table, self.resource.key_of(row)
        if broken.isdisjoint(self.resource.key):
            if key in table.keys:
                shown = ", ".join(str(part) for part in key)
                self.fault(faults.DuplicateKey(key=shown, line=table.keys[key]), self.resource.key[0], shown)
                return
            table.keys[key] = self.line
        if broken:
            table.broken[len(table.rows)] = frozenset(broken)
            self.blur(key[0])
        table.rows.append(row)
        table.lines.append(self.line)

    def misshapen(self, plan: "Plan", record: list[str]) -> None:
        """Keep what can be told of the key of a line with too few or too many cells."""
        key: list[Value] = []
        for place in self.resource.key_places:
            _, read, cell = plan[place]
            key.append(_read_or_none(read, record[cell]) if cell < len(record) else None)
        self.blur(key[0])
        if None not in key:
            self.table.keys.setdefault(tuple(key), self.line)

    def blur(self, first: Value) -> None:
        if first is None:
            self.table.blind = True
        else:
            self.table.blurred.add(first)


Plan = list[tuple[Column, Callable[[str], Value], int]]


def _read_or_none(read: Callable[[str], Value], text: str) -> Value:
    try:
        return read(text) if text and text.isprintable() else None
    except FaultyInput:
        return None
