"""What rows must hold together: references, kinds of parts, rows needed, gears, trip times, GTINs."""

from collections.abc import Iterator, Mapping
from itertools import groupby, pairwise
from typing import Any

from catalog.package import faults
from catalog.package.kinds import Value, gtin_14
from catalog.package.mistakes import Mistakes
from catalog.package.resource import Column
from catalog.package.resources import RESOURCES
from catalog.package.resources.articles import PARTS
from catalog.package.table import Table
from catalog.resolver.parts import DriveHand, PartKind
from shared.errors import FaultyInput

Tables = Mapping[str, Table]


def check_together(tables: Tables, mistakes: Mistakes) -> None:
    """Report every mistake that only several rows show together. An unreadable table tells nothing."""
    for resource in RESOURCES:
        for column in resource.references:
            _references(tables, tables[resource.name], column, mistakes)
        for name in resource.needs:
            _needed(tables[resource.name], tables[name], mistakes)
    _kinds(tables, mistakes)
    _gtins(tables["parts"], mistakes)
    _gears(tables["model_gears"], mistakes)
    _trips(tables["breaker_trips"], mistakes)
    _shaft_pieces(tables["drive_pieces"], mistakes)
    _handing_kits(tables, mistakes)


def _report(
    mistakes: Mistakes, table: Table, line: int, column: str, value: Value, fault: FaultyInput
) -> None:
    mistakes.add(
        fault, file=table.file, line=line, column=column, value=None if value is None else str(value)
    )


def _references(tables: Tables, table: Table, column: Column, mistakes: Mistakes) -> None:
    target = tables[column.kind.refers]
    if not target.readable:
        return
    place, known = table.resource.names.index(column.name), target.keys
    for line, row in table.each(column.name):
        value = row[place]
        if value is not None and (value,) not in known:
            fault = faults.MissingReference(given=value, resource=target.resource.name)
            _report(mistakes, table, line, column.name, value, fault)


def _needed(table: Table, children: Table, mistakes: Mistakes) -> None:
    """Every row of ``table`` has at least one row in ``children``, whose key begins with its own."""
    if not children.readable or children.blind:
        return
    present = {key[0] for key in children.keys} | children.blurred
    name = table.resource.key[0]
    for line, row in table.each(name):
        if row[0] not in present:
            fault = faults.MissingRows(given=row[0], resource=children.resource.name)
            _report(mistakes, table, line, name, row[0], fault)


def _kinds(tables: Tables, mistakes: Mistakes) -> None:
    """Every part has its row in the table of its kind, and only there."""
    parts = tables[PARTS.name]
    if not parts.readable:
        return
    kinds = {row.sku: row.kind for _, row in parts.each("sku", "kind")}
    for resource in RESOURCES:
        table = tables[resource.name]
        if resource.part_kind is None:
            continue
        for line, row in table.each("sku"):
            found = kinds.get(row.sku, resource.part_kind)
            if found is not resource.part_kind:
                fault = faults.OtherKind(given=row.sku, found=str(found), expected=str(resource.part_kind))
                _report(mistakes, table, line, "sku", row.sku, fault)
    _parts_without_figures(tables, parts, mistakes)


def _parts_without_figures(tables: Tables, parts: Table, mistakes: Mistakes) -> None:
    by_kind = {resource.part_kind: tables[resource.name] for resource in RESOURCES if resource.part_kind}
    assert set(by_kind) == set(PartKind)  # noqa: S101 - a kind without a table would be a bug of ours
    for line, row in parts.each("sku", "kind"):
        table = by_kind[row.kind]
        if table.readable and not table.blind and (row.sku,) not in table.keys:
            fault = faults.MissingRows(given=row.sku, resource=table.resource.name)
            _report(mistakes, parts, line, "sku", row.sku, fault)


def _gtins(parts: Table, mistakes: Mistakes) -> None:
    seen: dict[str, int] = {}
    for line, row in parts.each("gtin"):
        if row.gtin is None:
            continue
        first = seen.setdefault(gtin_14(row.gtin), line)
        if first != line:
            _report(mistakes, parts, line, "gtin", row.gtin, faults.DuplicateGtin(given=row.gtin, line=first))


def _groups(table: Table) -> Iterator[list[tuple[int, Any]]]:
    """(line, row) by the first key value, in key order, without groups of which a row is broken."""
    if not table.readable:
        return
    ordered = sorted(table.each(*table.resource.names), key=lambda one: table.resource.key_of(one[1]))
    for first, group in groupby(ordered, key=lambda one: one[1][0]):
        if first not in table.blurred:
            yield list(group)


def _gears(table: Table, mistakes: Mistakes) -> None:
    for group in _groups(table):
        before = 0
        for line, row in group:
            if row.gear != before + 1 and not table.blind:
                fault: FaultyInput = faults.GapInGears(gear=row.gear, model=row.model, before=before)
                _report(mistakes, table, line, "gear", row.gear, fault)
            before = row.gear
        for (_, lower), (line, higher) in pairwise(group):
            if higher.ratio <= lower.ratio:
                fault = faults.RatioNotRising(gear=higher.gear, model=higher.model)
                _report(mistakes, table, line, "ratio", higher.ratio, fault)


def _trips(table: Table, mistakes: Mistakes) -> None:
    for group in _groups(table):
        for (_, lower), (line, higher) in pairwise(group):
            for column in ("earliest_s", "latest_s"):
                if getattr(higher, column) > getattr(lower, column):
                    fault = faults.TripsNotFalling(
                        sku=higher.sku, percent=higher.percent, before=lower.percent
                    )
                    _report(mistakes, table, line, column, getattr(higher, column), fault)


def _shaft_pieces(table: Table, mistakes: Mistakes) -> None:
    for group in _groups(table):
        carrying = [(line, row) for line, row in group if row.carries_shaft]
        for line, row in carrying[1:]:
            _report(mistakes, table, line, "carries_shaft", "true", faults.TwoShaftPieces(sku=row.sku))


def _handing_kits(tables: Tables, mistakes: Mistakes) -> None:
    table = tables["handing_kit_drives"]
    hands = {row.sku: row.hand for _, row in tables["drives"].each("sku", "hand")}
    for line, row in table.each("drive"):
        if hands.get(row.drive, DriveHand.CONVERTIBLE) is not DriveHand.CONVERTIBLE:
            _report(mistakes, table, line, "drive", row.drive, faults.NotConvertible(given=row.drive))
