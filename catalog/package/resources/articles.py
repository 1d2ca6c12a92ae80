"""Articles: every part, its prices, what takes its place, and what the keeper ruled about it."""

from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, NamedTuple

from catalog.package.kinds import (
    LONGEST_NOTE,
    LONGEST_SERIAL,
    Amount,
    Code,
    Currency,
    Day,
    Gtin,
    Sku,
    Text,
    Whole,
    choice,
    plain,
)
from catalog.package.resource import Resource
from catalog.package.resources.winches import note
from catalog.package.rules import Different, EmptyIf, NeededIf, OneOf, Ordered, only_if, when
from catalog.resolver.parts import ExceptionKind, Lifts, PartKind, Status
from shared.money import format_amount, parse_amount


class Direction(StrEnum):
    """Whether a supersession holds for the old part only, or for either."""

    ONE_WAY = "one-way"
    TWO_WAY = "two-way"


class PartRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part number under which it is ordered.")]
    kind: Annotated[PartKind, choice("What it is; the table of that kind has its figures.", PartKind)]
    maker: Annotated[str, Code(about="Who makes it.", refers="makers")]
    name: Annotated[str, Text(about="The part's name.")]
    gtin: Annotated[str | None, Gtin(about="Its GTIN. No two parts have the same.")]
    status: Annotated[Status, choice("Whether it can be had.", Status)]
    withdrawn_on: Annotated[date | None, Day(about="The day on which it was withdrawn.")]
    valid_from: Annotated[date | None, Day(about="The first day on which it may be fitted.")]
    valid_to: Annotated[date | None, Day(about="The last day on which it may be fitted.")]
    lead_time_days: Annotated[int | None, Whole(about="Days until it arrives; empty: not known.", most=3650)]
    mass_g: Annotated[int | None, Whole(about="Mass, g.", most=10_000_000)]
    note: Annotated[str | None, note("What to know about it.")]


class PriceRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    currency: Annotated[str, Currency(about="The currency; nothing is ever converted.")]
    valid_from: Annotated[date, Day(about="The first day of this price.")]
    amount: Annotated[Decimal, Amount(about="Price of one, tax apart, with the currency's own decimals.")]


class SupersessionRow(NamedTuple):
    old: Annotated[str, Sku(about="The part whose place is taken.", refers="parts")]
    new: Annotated[str, Sku(about="The part that takes it.", refers="parts")]
    direction: Annotated[
        Direction, choice("`one-way`: new for old only; `two-way`: either for the other.", Direction)
    ]
    note: Annotated[str | None, note("What changed.")]


class ExceptionRow(NamedTuple):
    code: Annotated[str, Code(about="The ruling's code.")]
    kind: Annotated[
        ExceptionKind,
        choice(
            "`forbid`: a kit with `sku` (and `with_sku`, where given) is not fitted; `require`: a kit with "
            "`sku` contains `with_sku` or what stands for it; `allow`: lifts what `lifts` names for `sku`.",
            ExceptionKind,
        ),
    ]
    sku: Annotated[str, Sku(about="The part that is ruled about.", refers="parts")]
    with_sku: Annotated[str | None, Sku(about="The other part.", refers="parts")]
    lifts: Annotated[Lifts | None, choice("What an `allow` lifts. Never a figure.", Lifts)]
    family: Annotated[str | None, Code(about="For the winches of this family,", refers="families")]
    model: Annotated[str | None, Code(about="or of this model,", refers="models")]
    run: Annotated[str | None, Code(about="or of this production run.", refers="runs")]
    serial_from: Annotated[str | None, Text(about="The first serial concerned.", longest=LONGEST_SERIAL)]
    serial_to: Annotated[str | None, Text(about="The last one, inclusive.", longest=LONGEST_SERIAL)]
    reason: Annotated[str, note("Why it was ruled, for whoever reads the answer.")]
    document: Annotated[str | None, Text(about="Where it is written down.", longest=LONGEST_NOTE)]


def settle_price(row: PriceRow) -> PriceRow:
    """Give the amount its currency's decimals: 12.5 EUR becomes 12.50. ``AmountTooFine`` when it has more."""
    minor = parse_amount(plain(row.amount), row.currency).minor
    return row._replace(amount=Decimal(format_amount(minor, row.currency)))


PARTS = Resource(
    "parts",
    "Parts",
    "Every article, whatever it does.",
    PartRow,
    ("sku",),
    (*only_if(when("status", Status.WITHDRAWN), "withdrawn_on"), Ordered("valid_from", "valid_to")),
)

PRICES = Resource(
    "prices",
    "Prices",
    "What a part costs in a currency from a day on; the newest price that has begun counts.",
    PriceRow,
    ("sku", "currency", "valid_from"),
    settle=settle_price,
)

SUPERSESSIONS = Resource(
    "supersessions",
    "Supersessions",
    "What takes another part's place. It never makes a part mate.",
    SupersessionRow,
    ("old", "new"),
    (Different("old", "new"),),
)

EXCEPTIONS = Resource(
    "exceptions",
    "Exceptions",
    "The keeper's rulings for a family, a model or a production run, and a stretch of its serials.",
    ExceptionRow,
    ("code",),
    (
        OneOf(("family", "model", "run")),
        NeededIf("with_sku", when("kind", ExceptionKind.REQUIRE)),
        EmptyIf("with_sku", when("kind", ExceptionKind.ALLOW)),
        *only_if(when("kind", ExceptionKind.ALLOW), "lifts"),
        Different("sku", "with_sku"),
    ),
)
