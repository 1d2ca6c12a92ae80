"""Closed intervals of whole numbers and closed arcs: the operations against sets of numbers."""

import itertools
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.intervals import FULL_CIRCLE, TURN, UNKNOWN, Arc, ContradictoryInterval, Interval, gaps, join

SPAN = range(-40, 41)


@st.composite
def intervals(draw: st.DrawFn, *, bounded: bool = False) -> Interval:
    one, other = sorted((draw(st.integers(-15, 15)), draw(st.integers(-15, 15))))
    open_low, open_high = (False, False) if bounded else (draw(st.booleans()), draw(st.booleans()))
    return Interval(None if open_low else one, None if open_high else other)


def members(interval: Interval | None) -> set[int]:
    return set() if interval is None else {value for value in SPAN if interval.contains(value)}


def test_at_least_above_at_most_is_refused() -> None:
    with pytest.raises(ContradictoryInterval, match="At least 2 and at most 1"):
        Interval(2, 1)


def test_points_widths_and_open_ends() -> None:
    assert Interval.exactly(5).is_point
    assert Interval(2, 9).width == 7
    assert UNKNOWN.width is None
    assert not UNKNOWN.is_point
    assert not Interval(1, None).is_bounded
    assert UNKNOWN.contains(10**12)


@given(intervals(), intervals())
def test_intersection_is_what_both_hold(one: Interval, other: Interval) -> None:
    assert members(one.intersect(other)) == members(one) & members(other)
    assert one.overlaps(other) == bool(members(one) & members(other))
    assert one.intersect(other) == other.intersect(one)


@given(intervals(), intervals())
def test_covering_is_being_a_superset(one: Interval, other: Interval) -> None:
    assert one.covers(other) == (one.intersect(other) == other)


@given(intervals(), intervals())
def test_the_hull_is_the_smallest_cover(one: Interval, other: Interval) -> None:
    hull = one.hull(other)
    assert hull.covers(one)
    assert hull.covers(other)
    for end in (hull.low, hull.high):
        assert end is None or one.contains(end) or other.contains(end)
    assert (hull.low is None) == (one.low is None or other.low is None)
    assert (hull.high is None) == (one.high is None or other.high is None)


@given(intervals(bounded=True), intervals(bounded=True))
def test_sums_and_differences_are_those_of_the_members(one: Interval, other: Interval) -> None:
    assert members(one.add(other)) == {a + b for a in members(one) for b in members(other)}
    assert members(one.subtract(other)) == {a - b for a in members(one) for b in members(other)}


@given(intervals(), st.integers(-9, 9))
def test_adding_a_number_shifts_and_an_open_end_stays_open(one: Interval, by: int) -> None:
    moved = one.add(by)
    assert (moved.low is None, moved.high is None) == (one.low is None, one.high is None)
    assert moved.subtract(by) == one
    assert one.negated().negated() == one


@given(intervals(bounded=True), intervals(bounded=True))
def test_touching_means_that_nothing_lies_between(one: Interval, other: Interval) -> None:
    between = members(one.hull(other)) - members(one) - members(other)
    assert one.touches(other) == (not between)


def test_bands_that_end_and_begin_at_neighbours_touch() -> None:
    assert Interval(None, 41_500).touches(Interval(41_501, 50_000))
    assert not Interval(None, 41_500).touches(Interval(41_502, 50_000))


@given(intervals(), st.lists(st.integers(-20, 20)))
def test_cells_are_in_order_and_without_gaps(one: Interval, starts: list[int]) -> None:
    cells = one.split(starts)
    assert cells[0].low == one.low
    assert cells[-1].high == one.high
    for cell, following in itertools.pairwise(cells):
        assert cell.high is not None
        assert following.low == cell.high + 1
        assert following.low in starts


def test_a_worked_split() -> None:
    assert Interval(0, 9).split([4, 0, 99]) == (Interval(0, 3), Interval(4, 9))
    assert UNKNOWN.split([4]) == (Interval(None, 3), Interval(4, None))
    assert Interval(5, 5).split([5, 6]) == (Interval(5, 5),)


@given(intervals(), st.lists(intervals(), max_size=6))
def test_a_cell_lies_wholly_inside_or_outside_each_limit(one: Interval, others: list[Interval]) -> None:
    for cell in one.split_at_limits_of(others):
        for other in others:
            assert other.covers(cell) or not other.overlaps(cell)


@given(st.lists(intervals(), max_size=6))
def test_joining_keeps_the_members_and_leaves_nothing_touching(parts: list[Interval]) -> None:
    joined = join(parts)
    assert set().union(*map(members, joined)) == set().union(*map(members, parts))
    for part, following in itertools.pairwise(joined):
        assert not part.touches(following)


@given(intervals(), st.lists(intervals(), max_size=6))
def test_gaps_are_what_no_interval_holds(within: Interval, parts: list[Interval]) -> None:
    held = set().union(*map(members, parts))
    assert set().union(*map(members, gaps(within, parts))) == members(within) - held


@pytest.mark.parametrize(
    ("stated", "closed"),
    [
        (UNKNOWN, Interval(1, 200)),
        (Interval(30, None), Interval(30, 200)),
        (Interval(None, 30), Interval(1, 30)),
        (Interval(300, None), Interval(300, 300)),
        (Interval(None, -5), Interval(-5, -5)),
        (Interval(250, 900), Interval(250, 900)),
    ],
)
def test_a_plausible_range_closes_only_open_ends(stated: Interval, closed: Interval) -> None:
    assert stated.closed_by(Interval(1, 200)) == closed


# Arcs. Every bearing is tried on a coarse grid and around each end, where mistakes would be.


@st.composite
def arcs(draw: st.DrawFn) -> Arc:
    near_zero = st.integers(-3, 3).map(lambda value: value % TURN)
    bearing = st.one_of(near_zero, st.integers(0, TURN - 1))
    length = st.one_of(st.integers(0, 5), st.integers(TURN - 5, TURN), st.integers(0, TURN))
    return Arc(draw(bearing), draw(length))


def probes(*shapes: Arc) -> list[int]:
    ends = {(end + by) % TURN for arc in shapes for end in (arc.start, arc.end) for by in (-2, -1, 0, 1, 2)}
    return sorted(ends | set(range(0, TURN, 97)))


def by_pieces(arc: Arc, bearing: int) -> bool:
    """Membership told by the unrolled intervals, another way than ``contains``."""
    return any(piece.contains(bearing) for piece in arc.pieces())


def test_an_arc_may_pass_over_the_bow() -> None:
    bow = Arc.between(3150, 450)
    assert bow == Arc(3150, 900)
    assert bow.pieces() == (Interval(0, 450), Interval(3150, 3599))
    assert bow.contains(0)
    assert bow.contains(450)
    assert not bow.contains(451)


@pytest.mark.parametrize(
    ("start", "end", "arc"),
    [
        (0, 900, Arc(0, 900)),
        (900, 3600, Arc(900, 2700)),
        (0, 3600, FULL_CIRCLE),
        (0, 0, Arc(0, 0)),
        (3600, 0, Arc(0, 0)),
    ],
)
def test_arcs_between_bearings(start: int, end: int, arc: Arc) -> None:
    assert Arc.between(start, end) == arc


def test_an_arc_of_every_bearing_is_the_full_circle() -> None:
    assert Arc(700, TURN - 1) == Arc(0, TURN) == FULL_CIRCLE
    assert not Arc(700, TURN - 2).is_full
    with pytest.raises(ValueError, match="not negative"):
        Arc(0, -1)


@given(arcs())
def test_pieces_hold_the_same_bearings(arc: Arc) -> None:
    assert all(arc.contains(bearing) == by_pieces(arc, bearing) for bearing in probes(arc))


@given(arcs(), arcs())
def test_arcs_intersect_where_both_hold(one: Arc, other: Arc) -> None:
    found = one.intersect(other)
    assert len(found) <= 2
    assert one.overlaps(other) == bool(found)
    for bearing in probes(one, other, *found):
        both = by_pieces(one, bearing) and by_pieces(other, bearing)
        assert any(by_pieces(arc, bearing) for arc in found) == both


def test_two_arcs_can_meet_at_both_ends() -> None:
    assert Arc.between(3590, 10).intersect(Arc.between(5, 3595)) == (
        Arc.between(3590, 3595),
        Arc.between(5, 10),
    )


@given(arcs(), arcs())
def test_an_arc_covers_what_it_holds_whole(one: Arc, other: Arc) -> None:
    assert one.covers(other) == (one.intersect(other) == (other,))


@given(arcs(), arcs())
def test_the_hull_of_arcs_covers_both_and_is_no_longer_than_needed(one: Arc, other: Arc) -> None:
    hull = one.hull(other)
    assert hull.covers(one)
    assert hull.covers(other)
    rivals = [Arc.between(one.start, other.end), Arc.between(other.start, one.end), one, other, FULL_CIRCLE]
    shortest = min(arc.length for arc in rivals if arc.covers(one) and arc.covers(other))
    assert hull.length == shortest


@given(arcs(), st.integers(-4000, 4000))
def test_turning_and_mirroring(arc: Arc, by: int) -> None:
    assert arc.rotated(by).rotated(-by) == arc
    assert arc.mirrored().mirrored() == arc
    for bearing in probes(arc):
        assert arc.rotated(by).contains(bearing + by) == arc.contains(bearing)
        assert arc.mirrored().contains(-bearing % TURN) == arc.contains(bearing)


@given(arcs(), st.integers(0, TURN - 1), st.integers(0, 60))
def test_adding_a_known_bearing_and_its_doubt(arc: Arc, bearing: int, doubt: int) -> None:
    known = Arc(bearing - doubt, 2 * doubt)
    assert arc.add(known) == arc.rotated(bearing).widened(doubt)


def _covers_once(cells: tuple[Arc, ...], bearing: int) -> bool:
    return sum(by_pieces(cell, bearing) for cell in cells) == 1


@given(arcs(), st.lists(st.integers(0, TURN - 1), max_size=6))
def test_arcs_split_without_gaps_or_overlaps(arc: Arc, starts: list[int]) -> None:
    cells = arc.split(starts)
    for bearing in probes(arc, *cells):
        assert _covers_once(cells, bearing) == by_pieces(arc, bearing)
    if len(cells) > 1:
        assert {cell.start for cell in cells} <= {*starts, arc.start}


def test_a_circle_is_cut_only_where_asked() -> None:
    assert FULL_CIRCLE.split([]) == FULL_CIRCLE.split([900]) == (FULL_CIRCLE,)
    assert FULL_CIRCLE.split([900, 1800]) == (Arc.between(900, 1799), Arc.between(1800, 899))


@pytest.mark.parametrize("whole", [FULL_CIRCLE, Arc.between(3000, 500)])
def test_a_cut_arc_lies_wholly_inside_or_outside_each_other(whole: Arc) -> None:
    others = [Arc.between(3590, 10), Arc.between(3400, 3400), Arc.between(100, 3100), FULL_CIRCLE]
    for cell in whole.split_at_limits_of(others):
        for other in others:
            assert other.covers(cell) or not other.overlaps(cell)


@pytest.mark.parametrize("change", [lambda arc: arc.widened(1800), lambda arc: arc.add(Arc(0, 3000))])
def test_an_arc_never_grows_beyond_the_circle(change: Callable[[Arc], Arc]) -> None:
    assert change(Arc(100, 700)) == FULL_CIRCLE
