"""How fast the resolver compiles and answers, measured in a process of its own for each catalog."""

import gc
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from multiprocessing import get_context
from threading import Event, Thread

import psutil

from benchmarks.figures import Durations
from benchmarks.generate import FanOut, big_catalog
from benchmarks.questions import KINDS, questions
from catalog.resolver.compile import Compiled, compile_catalog
from catalog.resolver.question import read_question
from catalog.resolver.search import answer
from shared.errors import GaveUp

SEED = 1
WARM_UP = 10
MB = 1_000_000


@dataclass(slots=True)
class Speed:
    """One catalog's figures. Memory: of the process with the catalog, and at its peak while compiling."""

    parts: int
    fan_out: FanOut
    made_s: float
    compiled_s: float
    catalog_mb: int
    peak_mb: int
    all: Durations
    cpu: Durations
    by_kind: dict[str, Durations] = field(default_factory=dict)
    verdicts: Counter[str] = field(default_factory=Counter)


def measured_apart[**P, T](measure: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
    """Call ``measure`` in a fresh process, so that no earlier catalog's memory or garbage is counted."""
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        return pool.submit(measure, *args, **kwargs).result()


def speed(size: int, fan_out: FanOut, asked: int) -> Speed:
    """Generate, compile, and ask ``asked`` questions one by one."""
    started = time.perf_counter()
    catalog = big_catalog(size, SEED, fan_out)
    made_s = time.perf_counter() - started
    gc.collect()
    with _PeakMemory() as memory:
        before = memory.now()
        started = time.perf_counter()
        compiled = compile_catalog(catalog)
        compiled_s = time.perf_counter() - started
    taken = _ask(compiled, asked)
    return Speed(
        parts=len(catalog.parts),
        fan_out=fan_out,
        made_s=made_s,
        compiled_s=compiled_s,
        catalog_mb=before // MB,
        peak_mb=memory.peak // MB,
        all=Durations.of([one.seconds for one in taken]),
        cpu=Durations.of([one.cpu_s for one in taken]),
        by_kind={
            kind: Durations.of([one.seconds for one in taken if one.kind == kind])
            for kind in dict.fromkeys(KINDS)
        },
        verdicts=Counter(one.verdict for one in taken),
    )


@dataclass(frozen=True, slots=True)
class Taken:
    """One question: its kind, the time by the clock and by this thread's own processor time, the verdict."""

    kind: str
    seconds: float
    cpu_s: float
    verdict: str


def _ask(compiled: Compiled, asked: int) -> list[Taken]:
    """Ask one by one, after a few that only warm up."""
    # What was compiled stays for good, as in a server; the collector need not walk it again and again.
    gc.collect()
    gc.freeze()
    for question in questions(compiled.catalog, SEED, WARM_UP):
        _answered(compiled, question)
    taken = []
    for number, question in enumerate(questions(compiled.catalog, SEED + 1, asked)):
        started, cpu_started = time.perf_counter(), time.thread_time()
        verdict = _answered(compiled, question)
        cpu_s, seconds = time.thread_time() - cpu_started, time.perf_counter() - started
        taken.append(Taken(KINDS[number % len(KINDS)], seconds, cpu_s, verdict))
    return taken


def _answered(compiled: Compiled, question: object) -> str:
    """Read a question and answer it whole: verdict, kits, cores, certificate."""
    try:
        return answer(compiled, read_question(question)).verdict
    except GaveUp:
        return "gave up"


class _PeakMemory:
    """The greatest resident memory of this process while the block runs, looked at every few milliseconds."""

    def __enter__(self) -> "_PeakMemory":
        self._process = psutil.Process()
        self._done = Event()
        self.peak = self.now()
        self._watch = Thread(target=self._look, daemon=True)
        self._watch.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._done.set()
        self._watch.join()
        self.peak = max(self.peak, self.now())

    def now(self) -> int:
        return int(self._process.memory_info().rss)

    def _look(self) -> None:
        while not self._done.wait(0.02):
            self.peak = max(self.peak, self.now())
