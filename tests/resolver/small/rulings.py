"""Random supersessions and exceptions between the parts of a small catalog."""

from random import Random

from catalog.resolver import parts
from catalog.resolver.parts import CatalogException, ExceptionKind, Lifts, PartKind, SerialRule

KINDS_RULED = (
    PartKind.ADAPTER,
    PartKind.SHAFT,
    PartKind.DRIVE,
    PartKind.SPACER,
    PartKind.CONTROLLER,
    PartKind.BREAKER,
    PartKind.SWITCH,
)
SLOTS = frozenset({PartKind.CONTROLLER, PartKind.BREAKER, PartKind.SWITCH})


def supersessions(rng: Random, catalog: parts.Catalog) -> tuple[parts.Supersession, ...]:
    """Some pairs of the same kind, old before new, so that no chain runs in a circle."""
    pairs = [
        (old, new)
        for old, one in catalog.parts.items()
        for new, other in catalog.parts.items()
        if old < new and one.kind is other.kind
    ]
    taken = rng.sample(pairs, min(len(pairs), rng.choice((0, 0, 1, 1, 2))))
    return tuple(parts.Supersession(old, new, rng.random() < 0.3) for old, new in sorted(taken))


def rulings(rng: Random, catalog: parts.Catalog) -> tuple[CatalogException, ...]:
    """None to three exceptions, at most one about any part, so that they never contradict each other."""
    free = [sku for sku, article in catalog.parts.items() if article.kind in KINDS_RULED]
    rng.shuffle(free)
    rulings = []
    for number in range(1, rng.choice((1, 1, 2, 3, 4))):
        if len(free) < 2:
            break
        rulings.append(_ruling(rng, catalog, f"ruling-{number}", free))
    return tuple(rulings)


def _ruling(rng: Random, catalog: parts.Catalog, code: str, free: list[str]) -> CatalogException:
    kind = rng.choice(tuple(ExceptionKind))
    sku = free.pop()
    family, model, run = _scope(rng, catalog)
    serial_from, serial_to = _stretch(rng, catalog, run or model)
    with_sku = ""
    if kind is ExceptionKind.REQUIRE or (kind is ExceptionKind.FORBID and rng.random() < 0.5):
        others = [one for one in free if _may_meet(catalog.parts[sku].kind, catalog.parts[one].kind)]
        with_sku = rng.choice(others) if others else ""
        if with_sku:
            free.remove(with_sku)
        elif kind is ExceptionKind.REQUIRE:
            kind = ExceptionKind.FORBID
    lifts = rng.choice((Lifts.ERA, Lifts.MATING)) if kind is ExceptionKind.ALLOW else Lifts.NOTHING
    return CatalogException(
        code,
        kind,
        sku,
        with_sku,
        lifts,
        family,
        model,
        run,
        serial_from,
        serial_to,
        "Found on test.",
        "note-1",
    )


def _may_meet(one: PartKind, other: PartKind) -> bool:
    """Whether two of these kinds may lie in one kit and be tied: never a spacer and a part of a slot."""
    if PartKind.SPACER in {one, other}:
        return not {one, other} & SLOTS
    return one is not other


def _scope(rng: Random, catalog: parts.Catalog) -> tuple[str, str, str]:
    model = rng.choice(list(catalog.models.values()))
    run = rng.choice([run.code for run in catalog.runs.values() if run.model == model.code])
    return rng.choice(((model.family, "", ""), ("", model.code, ""), ("", "", run), ("", "", run)))


def _stretch(rng: Random, catalog: parts.Catalog, of: str) -> tuple[str, str]:
    """A stretch of serials of a model or run, where they compare; whole families are ruled whole."""
    runs = [run for run in catalog.runs.values() if of in {run.code, run.model}]
    if not runs or runs[0].serial_rule is SerialRule.NONE or rng.random() < 0.5:
        return "", ""
    prefix = "AB-" if runs[0].serial_rule is SerialRule.PREFIX_NUMBER else ""
    first = 1_000 * rng.randint(1, len(runs)) + 100 * rng.randrange(10)
    return f"{prefix}{first}", "" if rng.random() < 0.2 else f"{prefix}{first + rng.choice((0, 99, 400))}"
