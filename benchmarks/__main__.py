"""The benchmarks: figure, machine and ratio, taken in one run.

    ./run bench            everything, some minutes
    ./run bench --quick    the same at a small size, to see that it runs

Every section is a function from the plan to lines of text; a new one is added to ``SECTIONS``.
"""

import argparse
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from benchmarks.figures import table
from benchmarks.generate import FanOut
from benchmarks.http_cost import cost
from benchmarks.machine import machine
from benchmarks.resolver_speed import Speed, measured_apart, speed
from benchmarks.rivals import race

GOALS = "goals on 2 cores: 3 ms median, 12 ms p99, at most 2x from 1,000 to 100,000; compile 10 s, 1000 MB"


@dataclass(frozen=True, slots=True)
class Plan:
    """Sizes in parts, and how many questions of each."""

    sizes: tuple[int, ...]
    questions: int
    race_size: int
    race_questions: int


FULL = Plan(sizes=(1_000, 10_000, 100_000), questions=1_000, race_size=100_000, race_questions=200)
QUICK = Plan(sizes=(1_000, 2_000), questions=10, race_size=1_000, race_questions=10)


def resolver_section(plan: Plan) -> Iterator[str]:
    """Compiling, and single questions (20 % model only, 60 % half known, 20 % complete)."""
    yield f"RESOLVER: verdict and ranked list, {plan.questions} questions one by one"
    yield GOALS
    fan_outs: tuple[FanOut, ...] = ("bounded", "growing")
    for fan_out in fan_outs:
        measured = [measured_apart(speed, size, fan_out, plan.questions) for size in plan.sizes]
        yield ""
        yield f"{fan_out} fan-out"
        yield from table([SPEED_HEAD, *(_speed_row(one, measured[0]) for one in measured)])
        for one in measured:
            kinds = "; ".join(
                f"{kind} {took.median:.2f} / {took.p99:.2f}" for kind, took in one.by_kind.items()
            )
            verdicts = ", ".join(f"{verdict} {count}" for verdict, count in sorted(one.verdicts.items()))
            yield f"{one.parts:,} parts, median / p99 in ms by kind: {kinds} ({verdicts})"


SPEED_HEAD = (
    "parts",
    "made s",
    "compile s",
    "catalog MB",
    "peak MB",
    "median ms",
    "p99 ms",
    "CPU median ms",
    "ratio of medians",
)


def _speed_row(one: Speed, smallest: Speed) -> tuple[str, ...]:
    return (
        f"{one.parts:,}",
        f"{one.made_s:.1f}",
        f"{one.compiled_s:.2f}",
        str(one.catalog_mb),
        str(one.peak_mb),
        f"{one.all.median:.2f}",
        f"{one.all.p99:.2f}",
        f"{one.cpu.median:.2f}",
        f"{one.all.median / smallest.all.median:.2f}",
    )


def rivals_section(plan: Plan) -> Iterator[str]:
    """The same fixed worlds asked of the resolver, of PostgreSQL and of CP-SAT."""
    found = measured_apart(race, plan.race_size, plan.race_questions)
    yield f"RIVALS: verdict and cheapest kit in {plan.race_questions} fixed worlds, {found.parts:,} parts"
    yield f"PostgreSQL {found.postgres}, its tables loaded, indexed and analysed in {found.loaded_s:.1f} s"
    yield "the resolver also lists kits with settings, cores and a certificate; the rivals are told which"
    yield "drives have room and which are forbidden, and get cores, bands, stacks and fills ready made"
    ours = found.resolver.median
    rows = [
        ("who", "median ms", "p99 ms", "ratio of medians"),
        ("resolver", f"{ours:.2f}", f"{found.resolver.p99:.2f}", "1.00"),
        (
            "one range join, prepared",
            f"{found.sql.median:.2f}",
            f"{found.sql.p99:.2f}",
            f"{found.sql.median / ours:.2f}",
        ),
        (
            "one range join for all, per question",
            f"{found.sql_batch_ms:.2f}",
            "",
            f"{found.sql_batch_ms / ours:.2f}",
        ),
        (
            "CP-SAT, a model each (untuned)",
            f"{found.solver.median:.2f}",
            f"{found.solver.p99:.2f}",
            f"{found.solver.median / ours:.2f}",
        ),
    ]
    yield from table(rows)
    yield f"yes in {found.yes} of {plan.race_questions}; disagreements: {found.disagreements}"


def http_section(plan: Plan) -> Iterator[str]:
    """What HTTP adds to the resolver, beside an empty view."""
    found = measured_apart(cost, plan.questions)
    yield f"HTTP: CPU of a lookup on the demo catalog, {found.calls} calls of each"
    yield "goal: at most 1.6x an empty view with the same middleware, plus the resolver's"
    yield from table(
        [
            ("what", "median CPU ms"),
            ("empty view", f"{found.empty_ms:.2f}"),
            ("resolver, reading and shaping included", f"{found.resolver_ms:.2f}"),
            ("lookup", f"{found.lookup_ms:.2f}"),
        ]
    )
    yield f"(lookup - resolver) / empty view: {found.ratio:.2f}"


SECTIONS: Sequence[Callable[[Plan], Iterator[str]]] = (resolver_section, rivals_section, http_section)


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(
        prog="benchmarks", description="Figures, the machine and ratios, in one run."
    )
    parser.add_argument("--quick", action="store_true", help="a small run, to see that it still works")
    plan = QUICK if parser.parse_args(arguments).quick else FULL
    for line in machine():
        print(line, flush=True)
    for section in SECTIONS:
        print()
        for line in section(plan):
            print(line, flush=True)


if __name__ == "__main__":
    main()
