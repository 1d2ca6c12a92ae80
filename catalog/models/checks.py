"""CHECK constraints made from the declaration of the package, so that each rule has one home.

``checks(SPACERS, sku="part")`` gives a constraint for each column that is bounded and for each rule within a
row. Keyword arguments name the model's field where it differs from the package's column.
"""

from collections.abc import Callable
from typing import Any

from django.db.models import CheckConstraint, F, Q

from catalog.package import Column, Resource
from catalog.package.kinds import (
    CODE_PATTERN,
    CURRENCY_PATTERN,
    GTIN_PATTERN,
    SKU_PATTERN,
    Amount,
    Choice,
    Code,
    Currency,
    Gtin,
    Kind,
    Number,
    Sku,
    Text,
    Whole,
)
from catalog.package.rules import (
    Condition,
    Different,
    EmptyIf,
    NeededIf,
    OneOf,
    Ordered,
    Rule,
    SerialBounds,
    SuppliedHand,
)

PRINTABLE = "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$"
SERIAL_FORMS = {"number": "^[0-9]{1,12}$", "prefix-number": "^[A-Za-z]*[ -]?[0-9]{1,12}$"}


class Naming:
    """The model's field for a column of the package."""

    def __init__(self, fields: dict[str, str]) -> None:
        self.fields = fields

    def q(self, column: str, lookup: str = "", value: object = None) -> Q:
        name = self.fields.get(column, column)
        return Q(**{f"{name}__{lookup}" if lookup else name: value})

    def f(self, column: str) -> F:
        return F(self.fields.get(column, column))

    def null(self, column: str, *, is_null: bool = True) -> Q:
        return self.q(column, "isnull", is_null)


def checks(resource: Resource[Any], **fields: str) -> list[CheckConstraint]:
    """The constraints of a table. Their names begin with the resource's."""
    naming = Naming(fields)
    found = [
        CheckConstraint(condition=condition, name=f"{resource.name}_{column.name}")
        for column in resource.columns
        if (condition := _of_column(naming, column)) is not None
    ]
    return found + [
        CheckConstraint(condition=_RULES[type(rule)](naming, rule), name=f"{resource.name}_{rule.name}")
        for rule in resource.rules
    ]


def _of_column(naming: Naming, column: Column) -> Q | None:
    """What bounds one column. References are bounded by their keys, yes and no and dates by their types."""
    if column.kind.refers:
        return None
    make = _KINDS.get(type(column.kind))
    return make(naming, column.name, column.kind) if make else None


def _pattern(pattern: str) -> Callable[[Naming, str, Any], Q]:
    return lambda naming, name, _kind: naming.q(name, "regex", pattern)


def _range(naming: Naming, name: str, kind: Any) -> Q:  # noqa: ANN401 - a Number or a Whole
    return naming.q(name, "gte", kind.least) & naming.q(name, "lte", kind.most)


def _whole(naming: Naming, name: str, kind: Whole) -> Q:
    return naming.q(name, "in", list(kind.choices)) if kind.choices else _range(naming, name, kind)


_KINDS: dict[type[Kind], Callable[[Naming, str, Any], Q]] = {
    Text: _pattern(PRINTABLE),
    Code: _pattern(f"^{CODE_PATTERN}$"),
    Sku: _pattern(f"^{SKU_PATTERN}$"),
    Currency: _pattern(f"^{CURRENCY_PATTERN}$"),
    Gtin: _pattern(f"^{GTIN_PATTERN}$"),
    Number: _range,
    Amount: lambda naming, name, _kind: naming.q(name, "gte", 0),
    Whole: _whole,
    Choice: lambda naming, name, kind: naming.q(name, "in", list(kind.among)),
}


def _condition(naming: Naming, condition: Condition) -> Q:
    if not condition.one_of:
        return naming.null(condition.column, is_null=condition.negated)
    if condition.one_of == (True,):
        return naming.q(condition.column, value=not condition.negated)
    found = naming.q(condition.column, "in", [str(value) for value in condition.one_of])
    return ~found if condition.negated else found


def _needed(naming: Naming, rule: NeededIf) -> Q:
    return _condition(naming, ~rule.condition) | naming.null(rule.column, is_null=False)


def _empty(naming: Naming, rule: EmptyIf) -> Q:
    return _condition(naming, ~rule.condition) | naming.null(rule.column)


def _ordered(naming: Naming, rule: Ordered) -> Q:
    lookup = {"<=": "lte", "<": "lt"}[rule.relation]
    return naming.q(rule.low, lookup, naming.f(rule.high))


def _different(naming: Naming, rule: Different) -> Q:
    return ~naming.q(rule.first, value=naming.f(rule.second))


def _one_of(naming: Naming, rule: OneOf) -> Q:
    found = Q()
    for chosen in rule.among:
        alone = Q()
        for column in rule.among:
            alone &= naming.null(column, is_null=column != chosen)
        found |= alone
    return found


def _supplied(naming: Naming, rule: SuppliedHand) -> Q:
    convertible = naming.q(rule.hand, value="convertible")
    as_it_is = naming.q(rule.supplied, value=naming.f(rule.hand))
    return (convertible & naming.q(rule.supplied, "in", ["left", "right"])) | (~convertible & as_it_is)


def _serials(naming: Naming, rule: SerialBounds) -> Q:
    """The form of the bounds. The order of numbers is kept by the exclusion constraint."""
    found = ~naming.q(rule.rule, "in", list(SERIAL_FORMS))
    for name, form in SERIAL_FORMS.items():
        readable = naming.q(rule.rule, value=name)
        for column in (rule.low, rule.high):
            readable &= naming.null(column) | naming.q(column, "regex", form)
        found |= readable
    return found


_RULES: dict[type[Rule], Callable[[Naming, Any], Q]] = {
    NeededIf: _needed,
    EmptyIf: _empty,
    Ordered: _ordered,
    Different: _different,
    OneOf: _one_of,
    SuppliedHand: _supplied,
    SerialBounds: _serials,
}
