"""An error is a class with a code, named data and one sentence."""

import copy
import pickle

import pytest

from shared.errors import (
    LONGEST_DATUM,
    Faults,
    FaultyInput,
    GaveUp,
    ManyFaults,
    PawlbookError,
    Refused,
    Stale,
    every_class,
    json_pointer,
)
from shared.intervals import ContradictoryInterval
from shared.units import NotANumber


def test_the_sentence_is_filled_from_the_data() -> None:
    error = ContradictoryInterval(low=300, high=200)
    assert str(error) == "At least 300 and at most 200 contradict each other."
    assert error.worded("{high} < {low}") == "200 < 300"


def test_a_gap_without_data_is_a_bug_at_the_raise() -> None:
    with pytest.raises(TypeError, match="NotANumber needs given"):
        NotANumber()


@pytest.mark.parametrize("missing", ["code", "title", "sentence"])
def test_a_class_must_state_its_own_code_title_and_sentence(missing: str) -> None:
    body = {"code": "some-code", "title": "T", "sentence": "S."}
    del body[missing]
    with pytest.raises(TypeError, match=missing):
        type("Incomplete", (Refused,), body)


@pytest.mark.parametrize("code", ["Some-Code", "some_code", "-some", "some--code", "1-some", ""])
def test_a_code_is_kebab_case(code: str) -> None:
    with pytest.raises(TypeError, match="kebab-case"):
        type("Miscoded", (Refused,), {"code": code, "title": "T", "sentence": "S."})


def test_what_the_sender_wrote_is_shown_short_and_on_one_line() -> None:
    shown = str(NotANumber(given="a\nb\x00" + "c" * 10_000))
    assert "a\N{REPLACEMENT CHARACTER}b\N{REPLACEMENT CHARACTER}cc" in shown
    assert len(shown) < LONGEST_DATUM + 80


def test_braces_in_the_data_are_data() -> None:
    assert "{given.__class__}" in str(NotANumber(given="{given.__class__}"))


def test_pointers_are_escaped_and_grow_outward() -> None:
    assert json_pointer() == ""
    assert json_pointer("a/b", 0, "c~d") == "/a~1b/0/c~0d"
    assert (
        FaultyInput(pointer="/value").under("survey", "deck_thickness").pointer
        == "/survey/deck_thickness/value"
    )


def test_faults_are_collected_and_raised_together() -> None:
    faults = Faults()
    faults.raise_if_any()
    for place in ("deck_thickness", "depth_below_deck"):
        with faults.at("survey", place):
            raise NotANumber(given="x", pointer="/value")
    with pytest.raises(ManyFaults) as caught:
        faults.raise_if_any()
    assert [fault.pointer for fault in caught.value.faults] == [
        "/survey/deck_thickness/value",
        "/survey/depth_below_deck/value",
    ]
    assert next(fault.pointer for fault in caught.value.under("items", 3).faults).startswith(
        "/items/3/survey/"
    )


def test_a_single_fault_is_raised_as_itself() -> None:
    faults = Faults()
    with faults.at("currency"):
        raise NotANumber(given="x")
    with pytest.raises(NotANumber) as caught:
        faults.raise_if_any()
    assert caught.value.pointer == "/currency"
    assert caught.value.faults == (caught.value,)


def test_collected_many_are_laid_flat() -> None:
    faults = Faults()
    with faults.at("rows"):
        raise ManyFaults([NotANumber(given="x", pointer="/0"), NotANumber(given="y", pointer="/1")])
    assert [fault.pointer for fault in faults.found] == ["/rows/0", "/rows/1"]


@pytest.mark.parametrize("error", [Refused(), Stale(), GaveUp(steps=9, narrow="deck_thickness")])
def test_only_faults_are_collected(error: PawlbookError) -> None:
    with pytest.raises(type(error)), Faults().at("anywhere"):
        raise error


@pytest.mark.parametrize(
    "error",
    [
        NotANumber(given="x", pointer="/value"),
        ManyFaults([NotANumber(given="x", pointer="/0"), FaultyInput()]),
        GaveUp(steps=100_000, narrow="deck_thickness"),
    ],
)
def test_errors_cross_process_borders(error: PawlbookError) -> None:
    for twin in (pickle.loads(pickle.dumps(error)), copy.copy(error)):  # noqa: S301 - our own bytes
        assert type(twin) is type(error)
        assert (twin.pointer, twin.data, str(twin)) == (error.pointer, error.data, str(error))


def test_every_class_is_found_by_its_code() -> None:
    codes = [cls.code for cls in every_class()]
    assert codes == sorted(codes)
    assert {"faulty-input", "refused", "question-too-wide", "not-a-number", "contradictory-interval"} <= set(
        codes
    )
