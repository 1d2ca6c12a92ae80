"""All components of the OpenAPI document that are not made by the REST framework."""

from collections.abc import Iterable, Mapping
from typing import Any

from api.v1 import (
    answer_schema,
    base_patterns,
    couplings,
    exceptions,
    flanges,
    makers,
    part_figures,
    parts,
    production_runs,
    question_schema,
    revisions,
    spindles,
    winch_families,
    winch_models,
)
from api.v1.shapes import Json, Shape


def _shapes() -> Iterable[Shape]:
    yield from (makers.SHAPE, winch_families.SHAPE)
    yield from (winch_models.SHAPE, winch_models.DETAIL, winch_models.GEAR, winch_models.RUN)
    yield from (production_runs.SHAPE, base_patterns.SHAPE, spindles.SHAPE, flanges.SHAPE, couplings.SHAPE)
    yield from (parts.SHAPE, parts.DETAIL, parts.PRICE, parts.SUPERSEDED_BY, parts.SUPERSEDES)
    yield from (figures.shape for figures in part_figures.FIGURES.values())
    yield from part_figures.ITEMS
    yield from (exceptions.SHAPE, revisions.SHAPE, revisions.DETAIL)


SCHEMAS: Mapping[str, Json] = {
    **question_schema.SCHEMAS,
    **answer_schema.SCHEMAS,
    **{shape.name: shape.schema for shape in _shapes()},
}


ABOUT = """
Pawlbook answers whether an installed deck winch can be driven by power, and with exactly which parts; and it
shows the catalog from which it answers. Everybody may ask and read, within a limit for each network address
(429, with `Retry-After`).

Bodies are JSON in UTF-8. Lengths are mm, angles degrees, currents A, torques N·m, unless a name says
otherwise; money is text with all decimals of its currency, tax apart. What is not known is null.

Lists are pages in the order of the key. `limit` is how many rows a page holds; `next` and `previous` are the
addresses of the pages beside it, and stand in the header `Link` too. Rows that come and go meanwhile neither
repeat nor hide others. A parameter that is misspelt, or whose value is faulty, is refused, never passed over.

What is read has an `ETag`; sent back as `If-None-Match`, it saves sending the same again (304). It changes
when a revision of the catalog is published.

Every refusal is a problem document (RFC 9457) of a published type, in `application/problem+json`. Version 1
only grows: members and addresses are added, and none is taken away or changes its meaning; so pass over what
you do not know.
""".strip()


def add_components(result: dict[str, Any], **_: Any) -> dict[str, Any]:
    """A hook of the document's maker: put them where the operations refer to them, and say what all share."""
    result["info"]["description"] = ABOUT
    schemas = result.setdefault("components", {}).setdefault("schemas", {})
    schemas.update(SCHEMAS)
    return result
