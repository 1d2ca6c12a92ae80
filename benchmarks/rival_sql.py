"""A rival: PostgreSQL answers a fixed world by one join over ranges, on tables of the same pre-reduced rows.

Tuned as far as fixed worlds go: typed columns, an index on the signature that a question names, statistics
up to date, a prepared statement, everything in memory, no other client. Asked one by one and in one statement
for all.
"""

import os
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import astuple, fields
from typing import LiteralString

import psycopg
from psycopg import Connection, sql
from psycopg.rows import TupleRow

from benchmarks.reduced import FixedWorld, Reduced
from shared.keeper import Use
from shared.places import scratch_cluster
from shared.postgres import ADMIN, Passwords

Found = tuple[str, int | None]
"""Verdict and price of the cheapest kit (None: no priced one)."""

TABLES: LiteralString = """
create temporary table core (
    signature integer, core integer, flange integer, drive integer, side integer, band int4range,
    lift integer, narrow integer, wide integer, round integer, footprint integer, height integer,
    motor_mv integer, torque integer, reversible boolean, press_ms integer, price bigint);
create temporary table stack (flange integer, stack integer, thickness integer, price bigint);
create temporary table fill (drive integer, control_mv integer, price bigint);
create temporary table question (
    id integer, possible boolean, signature integer, deck integer, depth integer, is_round boolean,
    narrow integer, wide integer, pad integer, motor_mv integer, control_mv integer, torque_least integer,
    torque_most integer, both_ways boolean, press_ms integer, sides integer[]);
"""
INDEXES: LiteralString = """
create index on core (signature, motor_mv);
create index on stack (flange);
create index on fill (drive, control_mv);
analyze core; analyze stack; analyze fill;
"""
BEST: LiteralString = """
select core.core, stack.stack, core.price + stack.price + fill.price as price
from core
join stack on stack.flange = core.flange and core.band @> ({deck} + stack.thickness)
join fill on fill.drive = core.drive and fill.control_mv = {control_mv}
where {possible} and core.signature = {signature} and core.motor_mv = {motor_mv}
  and core.side = any({sides})
  and core.height + stack.thickness <= {depth} and core.lift <= {depth} and core.footprint <= {pad}
  and case when {is_round} then core.round <= {narrow}
      else core.narrow <= {narrow} and core.wide <= {wide} end
  and core.torque between {torque_least} and {torque_most}
  and (core.reversible or not {both_ways}) and core.press_ms >= {press_ms}
order by price nulls last
limit 1
"""
"""The join; the gaps are parameters of one question, or columns of the table of all of them."""

BEST_OF_ALL: LiteralString = """
select question.id, best.core, best.price from question left join lateral ({best}) best on true
order by question.id
"""
NAMES = [field.name for field in fields(FixedWorld)]
TYPES: dict[str, LiteralString] = {
    "possible": "boolean",
    "is_round": "boolean",
    "both_ways": "boolean",
    "sides": "integer[]",
}


def _parameter(name: str) -> sql.Composed:
    return sql.SQL("{}::{}").format(sql.Placeholder(name), sql.SQL(TYPES.get(name, "integer")))


ONE = sql.SQL(BEST).format(**{name: _parameter(name) for name in NAMES})
ALL = sql.SQL(BEST_OF_ALL).format(
    best=sql.SQL(BEST).format(**{name: sql.Identifier("question", name) for name in NAMES})
)


@contextmanager
def connected() -> Iterator[Connection[TupleRow]]:
    """A connection to ``DATABASE_URL``, or to a throw-away cluster of the embedded server."""
    if url := os.environ.get("DATABASE_URL"):
        with psycopg.connect(url, autocommit=True) as connection:
            yield connection
        return
    places = scratch_cluster()
    use = Use(places, scratch=True)
    try:
        password = Passwords.of(places).admin
        with psycopg.connect(
            host=str(places.socket), user=ADMIN, password=password, dbname="postgres", autocommit=True
        ) as connection:
            yield connection
    finally:
        use.end()


class SqlRival:
    """The tables of one catalog, filled, indexed and analysed."""

    def __init__(self, connection: Connection[TupleRow], reduced: Reduced) -> None:
        self.connection = connection
        started = time.perf_counter()
        connection.execute("set jit = off")
        connection.execute("set temp_buffers = '1GB'")
        connection.execute("set work_mem = '64MB'")
        connection.execute(TABLES)
        self._fill(reduced)
        connection.execute(INDEXES)
        self.loaded_s = time.perf_counter() - started

    @property
    def version(self) -> str:
        found = self.connection.execute("show server_version").fetchone()
        return str(found[0]) if found else "unknown"

    def _fill(self, reduced: Reduced) -> None:
        with self.connection.cursor() as cursor:
            with cursor.copy("copy core from stdin") as copy:
                for row in reduced.cores():
                    given = astuple(row)
                    copy.write_row((*given[:5], f"[{row.low},{row.high}]", *given[7:]))
            with cursor.copy("copy stack from stdin") as copy:
                for stack in reduced.stacks():
                    copy.write_row(astuple(stack))
            with cursor.copy("copy fill from stdin") as copy:
                for fill in reduced.fills():
                    copy.write_row(astuple(fill))

    def one(self, world: FixedWorld) -> Found:
        """Verdict and cheapest kit of one fixed world."""
        given = {name: getattr(world, name) for name in NAMES} | {"sides": list(world.sides)}
        row = self.connection.execute(ONE, given, prepare=True).fetchone()
        return ("no", None) if row is None else ("yes", row[2])

    def all(self, worlds: Sequence[FixedWorld]) -> list[Found]:
        """The same for many fixed worlds in one statement."""
        self.connection.execute("truncate question")
        with self.connection.cursor() as cursor, cursor.copy("copy question from stdin") as copy:
            for number, world in enumerate(worlds):
                copy.write_row((number, *astuple(world)[:-1], list(world.sides)))
        self.connection.execute("analyze question")
        rows = self.connection.execute(ALL).fetchall()
        return [("no", None) if core is None else ("yes", price) for _, core, price in rows]
