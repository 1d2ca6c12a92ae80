"""Covering a stretch with bands: examples by hand, then every number counted out."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from catalog.resolver.compile import Ints
from catalog.resolver.cover import completing, fewest, uncovered

Bands = list[tuple[int, int]]


def columns(bands: Bands) -> tuple[Ints, Ints]:
    both = np.array(bands, dtype=np.int64).reshape(len(bands), 2)
    return both[:, 0], both[:, 1]


# --- by hand: the deck is 10 ... 20 -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bands", "hole"),
    [
        ([], 10),
        ([(10, 20)], None),
        ([(0, 99)], None),
        ([(11, 20)], 10),
        ([(10, 19)], 20),
        ([(10, 14), (15, 20)], None),  # they touch: no whole number lies between 14 and 15
        ([(10, 14), (16, 20)], 15),
        ([(16, 20), (10, 14)], 15),
        ([(10, 14), (14, 20)], None),
        ([(10, 12), (18, 20)], 13),
        ([(10, 18), (11, 12), (19, 20)], None),  # a short band within a long one ends nothing
        ([(10, 11), (13, 14), (16, 20)], 12),
        ([(0, 9), (21, 30)], 10),
        ([(0, 9), (10, 20), (25, 30)], None),
        ([(10, 15), (25, 30)], 16),
        ([(0, 14), (15, 99)], None),
    ],
)
def test_the_first_number_that_no_band_holds(bands: Bands, hole: int | None) -> None:
    assert uncovered(*columns(bands), 10, 20) == hole


@pytest.mark.parametrize(
    ("bands", "hole"), [([(7, 7)], None), ([(0, 9)], None), ([(8, 9)], 7), ([(5, 6)], 7), ([], 7)]
)
def test_an_exactly_known_length_is_a_stretch_of_one(bands: Bands, hole: int | None) -> None:
    assert uncovered(*columns(bands), 7, 7) == hole


@pytest.mark.parametrize(
    ("bands", "taken"),
    [
        ([(10, 20)], 1),
        ([(10, 14), (15, 20)], 2),
        ([(10, 14), (10, 14), (15, 20), (10, 20)], 3),  # a useless one in between still counts
        ([(16, 20), (10, 14), (15, 15)], 3),
        ([(10, 14), (30, 40), (15, 20)], 3),
        ([(12, 13), (10, 20), (10, 20)], 2),
        ([(10, 14), (16, 20)], None),
        ([], None),
    ],
)
def test_how_many_of_the_best_it_takes(bands: Bands, taken: int | None) -> None:
    assert completing(*columns(bands), 10, 20) == taken


@pytest.mark.parametrize(
    ("bands", "pieces"),
    [
        ([(0, 30)], [(0, 10, 20)]),
        ([(10, 14), (15, 20)], [(0, 10, 14), (1, 15, 20)]),
        ([(15, 20), (10, 14)], [(1, 10, 14), (0, 15, 20)]),
        ([(10, 12), (13, 16), (10, 16), (17, 20)], [(2, 10, 16), (3, 17, 20)]),
        ([(10, 20), (10, 25)], [(1, 10, 20)]),  # farther than asked is farther all the same
        ([(10, 20), (10, 20)], [(0, 10, 20)]),
    ],
)
def test_the_fewest_that_cover(bands: Bands, pieces: list[tuple[int, int, int]]) -> None:
    assert fewest(*columns(bands), 10, 20) == pieces


def test_bands_that_do_not_cover_are_no_cover() -> None:
    with pytest.raises(ValueError, match="do not cover"):
        fewest(*columns([(10, 14), (16, 20)]), 10, 20)


# --- against counting out ---------------------------------------------------------------------------------

BANDS = st.lists(
    st.tuples(st.integers(0, 24), st.integers(0, 9)).map(lambda band: (band[0], band[0] + band[1])),
    max_size=7,
)
STRETCH = st.tuples(st.integers(3, 20), st.integers(0, 8)).map(lambda one: (one[0], one[0] + one[1]))


def missing(bands: Bands, stretch: tuple[int, int]) -> list[int]:
    """The numbers of the stretch that no band holds."""
    return [
        number
        for number in range(stretch[0], stretch[1] + 1)
        if not any(low <= number <= high for low, high in bands)
    ]


@given(BANDS, STRETCH)
def test_a_hole_is_the_first_number_missing(bands: Bands, stretch: tuple[int, int]) -> None:
    assert uncovered(*columns(bands), *stretch) == next(iter(missing(bands, stretch)), None)


@given(BANDS, STRETCH)
def test_completing_is_the_shortest_beginning_that_covers(bands: Bands, stretch: tuple[int, int]) -> None:
    beginnings = (count for count in range(len(bands) + 1) if not missing(bands[:count], stretch))
    assert completing(*columns(bands), *stretch) == next(beginnings, None)


@given(BANDS, STRETCH)
def test_no_smaller_choice_covers(bands: Bands, stretch: tuple[int, int]) -> None:
    assume(not missing(bands, stretch))
    found = fewest(*columns(bands), *stretch)
    assert all(bands[row][0] <= first and last <= bands[row][1] for row, first, last in found)
    held = [number for _, first, last in found for number in range(first, last + 1)]
    assert held == list(range(stretch[0], stretch[1] + 1))
    smaller = combinations(bands, len(found) - 1)
    assert all(missing(list(choice), stretch) for choice in smaller)
