"""The field-by-field documentation, made from the declaration. A test holds the README to it."""

from collections.abc import Iterator
from typing import Any

from catalog.package.resource import Column, Resource
from catalog.package.resources import RESOURCES

BEGIN = "<!-- begin: made by `python -m catalog.package document` -->"
END = "<!-- end -->"


def document() -> str:
    """The generated part of ``catalog/package/README.md``, in Markdown."""
    return "\n".join([BEGIN, "", *(line for resource in RESOURCES for line in _resource(resource)), END])


def _resource(resource: Resource[Any]) -> Iterator[str]:
    yield f"### {resource.title}: `{resource.path}`"
    yield ""
    yield resource.about
    yield f"Key: {', '.join(f'`{name}`' for name in resource.key)}."
    if resource.part_kind:
        yield f"Every part of the kind `{resource.part_kind}` has one row here."
    if resource.needs:
        yield f"Every row needs rows in {', '.join(f'`{name}`' for name in resource.needs)}."
    yield ""
    yield "| column | value | empty? | meaning |"
    yield "| --- | --- | --- | --- |"
    for column in resource.columns:
        yield _column(column)
    yield ""
    if resource.rules:
        yield from (f"- {rule.in_words}" for rule in resource.rules)
        yield ""


def _column(column: Column) -> str:
    value = column.kind.in_words + (f" of `{column.kind.refers}`" if column.kind.refers else "")
    empty = "may be" if column.optional else "no"
    return f"| `{column.name}` | {value} | {empty} | {column.kind.about} |"
