"""What may be fitted in place of what: it counts for rulings and for remarks, and for nothing else.

One-way, the new one takes the place of the old one and never the other way round.
"""

from dataclasses import replace

import pytest

from catalog.resolver.compile import compile_catalog
from catalog.resolver.kits import stands_for
from catalog.resolver.parts import Catalog, CatalogException, ExceptionKind, Status, Supersession
from tests.resolver.few_kits import Row, adapters_listed, answered, priced, with_adapters
from tests.resolver.one_kit import CATALOG, RUN

Steps = list[tuple[str, str]]


def catalog_of(one_way: Steps, two_way: Steps | None = None, catalog: Catalog = CATALOG) -> Catalog:
    steps = [Supersession(old, new, two_way=False) for old, new in one_way]
    return replace(
        catalog, supersessions=(*steps, *(Supersession(old, new, two_way=True) for old, new in two_way or ()))
    )


@pytest.mark.parametrize(
    ("one_way", "two_way", "standing"),
    [
        ([], [], {"B"}),
        ([("B", "C")], [], {"B", "C"}),
        ([("A", "B")], [], {"B"}),  # never back
        ([("B", "C"), ("C", "D")], [], {"B", "C", "D"}),  # along the chain
        ([("C", "D"), ("B", "C")], [], {"B", "C", "D"}),
        ([("A", "B"), ("B", "C")], [], {"B", "C"}),
        ([("B", "C"), ("B", "D")], [], {"B", "C", "D"}),
        ([("A", "C"), ("B", "C")], [], {"B", "C"}),
        ([], [("A", "B")], {"A", "B"}),
        ([], [("B", "A")], {"A", "B"}),
        ([], [("A", "B"), ("B", "C"), ("C", "D")], {"A", "B", "C", "D"}),
        ([("C", "D")], [("B", "C")], {"B", "C", "D"}),
        ([("D", "C")], [("B", "C")], {"B", "C"}),
        ([("B", "C"), ("C", "B")], [], {"B", "C"}),  # a circle ends
    ],
)
def test_what_may_stand_for_a_part(one_way: Steps, two_way: Steps, standing: set[str]) -> None:
    assert stands_for(catalog_of(one_way, two_way), "B") == standing
    assert compile_catalog(catalog_of(one_way, two_way)).stands_for("B") == standing


# --- a required part may be stood for -----------------------------------------------------------------------


def requiring(catalog: Catalog, sku: str, with_sku: str) -> Catalog:
    ruling = CatalogException("ruling", ExceptionKind.REQUIRE, sku, with_sku, run=RUN.code)
    return replace(catalog, exceptions=(ruling,))


def with_old_adapter() -> Catalog:
    """OLD is withdrawn; the other adapters are to be had."""
    return with_adapters(
        [
            ("OLD", {"price": 10, "status": Status.WITHDRAWN}),
            ("NEW", {"price": 30}),
            ("NEWEST", {"price": 50, "thickness_um": 12_500}),
        ]
    )


@pytest.mark.parametrize(
    ("one_way", "two_way", "listed"),
    [
        ([], [], []),
        ([("OLD", "NEW")], [], ["NEW"]),
        ([("NEW", "OLD")], [], []),
        ([("OLD", "NEW"), ("NEW", "NEWEST")], [], ["NEW", "NEWEST"]),
        ([("NEW", "NEWEST")], [("NEW", "OLD")], ["NEW", "NEWEST"]),
        ([], [("NEW", "OLD")], ["NEW"]),
    ],
)
def test_a_requirement_of_an_old_part_is_met_by_what_stands_for_it(
    one_way: Steps, two_way: Steps, listed: list[str]
) -> None:
    catalog = requiring(catalog_of(one_way, two_way, with_old_adapter()), "DRIVE", "OLD")
    found = answered(catalog)
    assert adapters_listed(found) == listed
    assert found.verdict == ("yes" if listed else "no")


# --- it never makes a part mate, nor stands for its figures ------------------------------------------------


def test_a_successor_that_does_not_mate_does_not_fit() -> None:
    rows: list[Row] = [
        ("OLD", {"price": 10, "status": Status.WITHDRAWN}),
        ("NEW", {"price": 30, "bases": frozenset({"five-120"})}),
    ]
    found = answered(catalog_of([("OLD", "NEW")], catalog=with_adapters(rows)))
    assert (found.verdict, adapters_listed(found)) == ("no", [])


@pytest.mark.parametrize(("deck", "verdict"), [(38, "yes"), (44, "no"), (33, "yes"), (30, "yes")])
def test_a_successor_passes_by_its_own_figures(deck: int, verdict: str) -> None:
    """The old one, of 12 mm, spans 43 ... 54, 33 ... 44 and 23 ... 34 mm. The new one, of 23 mm, spans
    32 ... 43, 22 ... 33 and 12 ... 23 mm.
    """
    rows: list[Row] = [
        ("OLD", {"price": 10, "status": Status.WITHDRAWN}),
        ("NEW", {"price": 30, "thickness_um": 23_000}),
    ]
    catalog = catalog_of([("OLD", "NEW")], catalog=with_adapters(rows))
    assert answered(catalog, survey={"deck_thickness": {"value": deck}}).verdict == verdict


def test_a_withdrawn_part_is_not_fitted_because_another_may_stand_for_it() -> None:
    catalog = catalog_of([], [("OLD", "NEW")], with_old_adapter())
    assert "OLD" not in adapters_listed(answered(catalog))


# --- remarks ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("steps", "withdrawn", "remarked"),
    [
        ([("GONE", "SPACER")], True, True),
        ([("GONE", "SPACER")], False, False),
        ([("SPACER", "GONE")], True, False),
        ([("GONE", "OTHER")], True, False),
    ],
)
def test_a_part_in_the_place_of_a_withdrawn_one_is_remarked(
    steps: Steps, withdrawn: bool, remarked: bool
) -> None:
    status = Status.WITHDRAWN if withdrawn else Status.CURRENT
    more = {sku: replace(CATALOG.parts["SPACER"], sku=sku, status=status) for sku in ("GONE", "OTHER")}
    catalog = priced(replace(CATALOG, parts={**CATALOG.parts, **more}))
    remarks = answered(catalog_of(steps, catalog=catalog)).remarks
    assert ("takes-the-place-of-a-withdrawn-part" in remarks) is remarked
