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


def add_components(result: dict[str, Any], **_: Any) -> dict[str, Any]:
    """A hook of the document's maker: put them where the operations refer to them."""
    schemas = result.setdefault("components", {}).setdefault("schemas", {})
    schemas.update(SCHEMAS)
    return result
