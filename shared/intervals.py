"""Closed intervals of whole numbers, and closed arcs of a circle. Pure: no Django import.

What is measured is known as an interval: everything from ``low`` to ``high``, both included, ``None`` for an
end that is not known. The numbers are whole (micrometres, milliamperes), so an interval that ends at 41 500
and one that begins at 41 501 leave nothing between them: they *touch*.

Bearings are whole tenths of a degree, 0 ... 3599, clockwise. An arc runs clockwise from its ``start`` over
its ``length``, and may pass over 0: from 315.0° to 45.0° is ``Arc(3150, 900)``.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from shared.errors import FaultyInput
from shared.words import N_

TURN = 3_600
"""Tenths of a degree in a full circle."""


class ContradictoryInterval(FaultyInput):
    code = "contradictory-interval"
    title = N_("At least is above at most")
    sentence = N_("At least {low} and at most {high} contradict each other.")


@dataclass(frozen=True, slots=True)
class Interval:
    """Every whole number from ``low`` to ``high``, both included; ``None`` is an open end.

    Raises ``ContradictoryInterval`` when ``low`` is above ``high``: there is no empty interval.
    """

    low: int | None = None
    high: int | None = None

    def __post_init__(self) -> None:
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ContradictoryInterval(low=self.low, high=self.high)

    @classmethod
    def exactly(cls, value: int) -> "Interval":
        return cls(value, value)

    @property
    def is_point(self) -> bool:
        return self.low is not None and self.low == self.high

    @property
    def is_bounded(self) -> bool:
        return self.low is not None and self.high is not None

    @property
    def width(self) -> int | None:
        """``high - low``; ``None`` when an end is open."""
        if self.low is None or self.high is None:
            return None
        return self.high - self.low

    def contains(self, value: int) -> bool:
        return (self.low is None or self.low <= value) and (self.high is None or value <= self.high)

    def covers(self, other: "Interval") -> bool:
        """Whether every number of ``other`` is in this interval."""
        low_ok = self.low is None or (other.low is not None and self.low <= other.low)
        high_ok = self.high is None or (other.high is not None and other.high <= self.high)
        return low_ok and high_ok

    def intersect(self, other: "Interval") -> "Interval | None":
        """What both hold; ``None`` when that is nothing."""
        low = _stated(self.low, other.low, max)
        high = _stated(self.high, other.high, min)
        if low is not None and high is not None and low > high:
            return None
        return Interval(low, high)

    def overlaps(self, other: "Interval") -> bool:
        return self.intersect(other) is not None

    def touches(self, other: "Interval") -> bool:
        """Whether no whole number lies between the two: they overlap, or one begins right after the other."""
        return self.widened(1).overlaps(other)

    def hull(self, other: "Interval") -> "Interval":
        """The smallest interval that covers both, what lies between them included."""
        low = None if self.low is None or other.low is None else min(self.low, other.low)
        high = None if self.high is None or other.high is None else max(self.high, other.high)
        return Interval(low, high)

    def add(self, other: "Interval | int") -> "Interval":
        """Every sum of a number of this and one of ``other``; an int shifts."""
        if isinstance(other, int):
            other = Interval(other, other)
        return Interval(_sum(self.low, other.low), _sum(self.high, other.high))

    def negated(self) -> "Interval":
        """Every number with its sign turned."""
        return Interval(None if self.high is None else -self.high, None if self.low is None else -self.low)

    def subtract(self, other: "Interval | int") -> "Interval":
        """Every difference of a number of this and one of ``other``."""
        return self.add(-other if isinstance(other, int) else other.negated())

    def widened(self, by: int) -> "Interval":
        """The interval with ``by`` more at each end."""
        return self.add(Interval(-by, by))

    def closed_by(self, other: "Interval") -> "Interval":
        """This interval with its open ends taken from ``other``, where that leaves it an interval.

        A plausible range closes what is open and never contradicts what was measured: ``at least 300`` closed
        by 1 ... 200 is 300 ... 300, since a value outside the range is accepted.
        """
        low = self.low if self.low is not None else _stated(other.low, self.high, min)
        high = self.high if self.high is not None else _stated(other.high, self.low, max)
        return Interval(low, high)

    def split(self, starts: Iterable[int]) -> tuple["Interval", ...]:
        """Cut into cells, a new one beginning at each of ``starts`` that lies inside. In order, without gaps.

        0 ... 9 split at 4 is 0 ... 3 and 4 ... 9.
        """
        cells: list[Interval] = []
        low = self.low
        for start in sorted(set(starts)):
            if self.contains(start) and start != self.low:
                cells.append(Interval(low, start - 1))
                low = start
        cells.append(Interval(low, self.high))
        return tuple(cells)

    def split_at_limits_of(self, others: Iterable["Interval"]) -> tuple["Interval", ...]:
        """Cut into cells of which each lies wholly inside or wholly outside every one of ``others``."""
        starts = set()
        for other in others:
            if other.low is not None:
                starts.add(other.low)
            if other.high is not None:
                starts.add(other.high + 1)
        return self.split(starts)


UNKNOWN = Interval(None, None)
"""Nothing is known: both ends open."""


def _stated(one: int | None, other: int | None, choose: Callable[[int, int], int]) -> int | None:
    """The chosen one of two ends; an open end yields to a stated one."""
    if one is None or other is None:
        return other if one is None else one
    return choose(one, other)


def _sum(one: int | None, other: int | None) -> int | None:
    return None if one is None or other is None else one + other


def join(intervals: Iterable[Interval]) -> tuple[Interval, ...]:
    """The union as the fewest intervals, in order: overlapping and touching ones become one."""
    joined: list[Interval] = []
    for interval in sorted(intervals, key=_by_low):
        if joined and joined[-1].touches(interval):
            joined[-1] = joined[-1].hull(interval)
        else:
            joined.append(interval)
    return tuple(joined)


def _by_low(interval: Interval) -> tuple[bool, int]:
    return (interval.low is not None, interval.low or 0)


def gaps(within: Interval, intervals: Iterable[Interval]) -> tuple[Interval, ...]:
    """The parts of ``within`` that none of ``intervals`` holds, in order."""
    cells = within.split_at_limits_of(solid := join(intervals))
    return join(cell for cell in cells if not any(part.covers(cell) for part in solid))


@dataclass(frozen=True, slots=True)
class Arc:
    """A closed arc of bearings, clockwise from ``start`` (0 ... 3599) over ``length`` (0 ... 3600), in tenths
    of a degree.

    Both ends belong to it; a length of 0 is a single bearing. An arc of 3599 or more holds every bearing and
    is kept as the full circle, ``Arc(0, 3600)``, so that equal sets of bearings are equal arcs.
    """

    start: int
    length: int

    def __post_init__(self) -> None:
        if self.length < 0:
            raise ValueError("An arc's length is not negative.")
        full = self.length >= TURN - 1
        object.__setattr__(self, "start", 0 if full else self.start % TURN)
        object.__setattr__(self, "length", TURN if full else self.length)

    @classmethod
    def between(cls, start: int, end: int) -> "Arc":
        """Clockwise from bearing ``start`` to bearing ``end``, both 0 ... 3600.

        3150 to 450 passes over 0; 0 to 3600 is the full circle; equal bearings are a single one.
        """
        return cls(start, end - start if end >= start else end + TURN - start)

    @property
    def is_full(self) -> bool:
        return self.length == TURN

    @property
    def end(self) -> int:
        """The last bearing, 0 ... 3599 (of the full circle: 3599)."""
        return TURN - 1 if self.is_full else (self.start + self.length) % TURN

    def contains(self, bearing: int) -> bool:
        return (bearing - self.start) % TURN <= self.length

    def covers(self, other: "Arc") -> bool:
        """Whether every bearing of ``other`` is in this arc."""
        if self.is_full or other.is_full:
            return self.is_full
        return (other.start - self.start) % TURN + other.length <= self.length

    def rotated(self, by: int) -> "Arc":
        """The arc turned clockwise by ``by`` tenths of a degree."""
        return Arc(self.start + by, self.length)

    def mirrored(self) -> "Arc":
        """The arc seen in a mirror along bearing 0: every bearing b becomes -b."""
        return Arc(-self.start - self.length, self.length)

    def widened(self, by: int) -> "Arc":
        """The arc with ``by`` more at each end, the full circle at most."""
        return Arc(self.start - by, self.length + 2 * by)

    def add(self, other: "Arc") -> "Arc":
        """Every sum, round the circle, of a bearing of this and one of ``other``."""
        return Arc(self.start + other.start, self.length + other.length)

    def pieces(self) -> tuple[Interval, ...]:
        """The arc as one or two intervals of 0 ... 3599, in order of bearing."""
        if self.is_full:
            return (Interval(0, TURN - 1),)
        if self.start + self.length < TURN:
            return (Interval(self.start, self.start + self.length),)
        return (Interval(0, self.end), Interval(self.start, TURN - 1))

    def intersect(self, other: "Arc") -> tuple["Arc", ...]:
        """The bearings that both hold, as no, one or two arcs, in order from this arc's start."""
        if self.is_full:
            return (other,)
        # Unrolled from this arc's start, the other arc appears once or, wrapped, once more a turn earlier.
        offset = (other.start - self.start) % TURN
        here = Interval(0, self.length)
        there = (
            Interval(offset - TURN, offset - TURN + other.length),
            Interval(offset, offset + other.length),
        )
        return self._cells(join(part for whole in there if (part := here.intersect(whole))))

    def overlaps(self, other: "Arc") -> bool:
        return self.contains(other.start) or other.contains(self.start)

    def hull(self, other: "Arc") -> "Arc":
        """The smallest arc that covers both; of two equally small, the one that begins with this arc."""
        if self.covers(other) or other.covers(self):
            return self if self.covers(other) else other
        onward = Arc(self.start, max(self.length, (other.start - self.start) % TURN + other.length))
        back = Arc(other.start, max(other.length, (self.start - other.start) % TURN + self.length))
        return onward if onward.length <= back.length else back

    def split(self, starts: Iterable[int]) -> tuple["Arc", ...]:
        """Cut into arcs, a new one beginning at each bearing of ``starts`` that lies inside; clockwise, no
        gaps.

        The full circle is cut only at ``starts``: one start leaves one arc, which begins there.
        """
        begins = sorted({start % TURN for start in starts})
        if self.is_full:
            return tuple(Arc(one, other - 1 - one) for one, other in _round_pairs(begins)) or (self,)
        return self._cells(Interval(0, self.length).split((start - self.start) % TURN for start in begins))

    def split_at_limits_of(self, others: Iterable["Arc"]) -> tuple["Arc", ...]:
        """Cut into arcs of which each lies wholly inside or wholly outside every one of ``others``."""
        cutting = [arc for arc in others if not arc.is_full]
        return self.split([arc.start for arc in cutting] + [arc.end + 1 for arc in cutting])

    def _cells(self, cells: Iterable[Interval]) -> tuple["Arc", ...]:
        """Arcs from intervals counted clockwise from this arc's start."""
        return tuple(
            Arc(self.start + cell.low, cell.high - cell.low)
            for cell in cells
            if cell.low is not None and cell.high is not None
        )


FULL_CIRCLE = Arc(0, TURN)


def _round_pairs(begins: list[int]) -> list[tuple[int, int]]:
    """Each bearing with the next one clockwise, the last with the first a turn later."""
    return list(zip(begins, begins[1:] + [start + TURN for start in begins[:1]], strict=True))
