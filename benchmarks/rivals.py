"""The resolver against its rivals in fixed worlds: verdict and cheapest kit, in the same run."""

import gc
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from benchmarks.figures import Durations
from benchmarks.generate import big_catalog
from benchmarks.questions import Json, fixed_questions
from benchmarks.reduced import Reduced
from benchmarks.resolver_speed import SEED
from benchmarks.rival_solver import SolverRival
from benchmarks.rival_sql import Found, SqlRival, connected
from catalog.resolver.compile import Compiled, compile_catalog
from catalog.resolver.question import read_question
from catalog.resolver.search import answer

WARM_UP = 5


@dataclass(slots=True)
class Race:
    """Who took how long. ``disagreements`` counts worlds in which anybody's verdict or price differs."""

    parts: int
    postgres: str
    loaded_s: float
    resolver: Durations
    sql: Durations
    sql_batch_ms: float
    solver: Durations
    yes: int
    disagreements: int


def race(size: int, asked: int) -> Race:
    """Ask the same fixed worlds of all three, one by one, and of PostgreSQL also in one statement."""
    compiled = compile_catalog(big_catalog(size, SEED))
    given = list(fixed_questions(compiled.catalog, SEED + 2, asked))
    reduced = Reduced(compiled, read_question(given[0]))
    worlds = [reduced.world(question) for question in given]
    solver = SolverRival(reduced)
    solver.prepare(worlds)
    with connected() as connection:
        sql = SqlRival(connection, reduced)
        gc.collect()
        gc.freeze()
        ours, resolver_took = _timed(lambda question: _ours(compiled, question), given)
        by_sql, sql_took = _timed(sql.one, worlds)
        by_solver, solver_took = _timed(solver.one, worlds)
        started = time.perf_counter()
        in_batch = sql.all(worlds)
        batch_s = time.perf_counter() - started
        return Race(
            parts=len(compiled.catalog.parts),
            postgres=sql.version,
            loaded_s=sql.loaded_s,
            resolver=resolver_took,
            sql=sql_took,
            sql_batch_ms=1_000 * batch_s / len(worlds),
            solver=solver_took,
            yes=sum(verdict == "yes" for verdict, _ in ours),
            disagreements=sum(
                len(set(said)) > 1 for said in zip(ours, by_sql, by_solver, in_batch, strict=True)
            ),
        )


def _ours(compiled: Compiled, question: Json) -> Found:
    found = answer(compiled, read_question(question))
    return found.verdict, found.price_from


def _timed[T](ask: Callable[[T], Found], asked: Sequence[T]) -> tuple[list[Found], Durations]:
    for one in asked[:WARM_UP]:
        ask(one)
    found, took = [], []
    for one in asked:
        started = time.perf_counter()
        found.append(ask(one))
        took.append(time.perf_counter() - started)
    return found, Durations.of(took)
