"""The OpenAPI document as a page to read: groups of operations, then the components as tables.

The page is made from the document and from nothing else, so that both say the same.
"""

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe

from api.v1.openapi import document
from shared.middleware import without_transaction

Schema = Mapping[str, Any]

COMPONENT = "#/components/schemas/"
WORDS = {"string": "text", "boolean": "true or false", "integer": "whole number"}
FORMATS = {"date": "date", "date-time": "date and time", "uri": "address"}
BOUNDS = {
    "minimum": "at least {}",
    "maximum": "at most {}",
    "minLength": "at least {} characters",
    "maxLength": "at most {} characters",
    "maxItems": "at most {} of them",
    "pattern": "matching {}",
    "default": "usually {}",
}
_MARKED = re.compile(r"(`[^`]+`|\*\*[^*]+\*\*)")


@require_safe
@without_transaction
def api_docs(request: HttpRequest) -> HttpResponse:
    return render(request, "api/docs.html", page(document(), request.build_absolute_uri("/").rstrip("/")))


def page(found: Schema, origin: str) -> dict[str, Any]:
    """What the template shows. ``origin`` stands before the addresses of the examples."""
    operations = list(_operations(found, origin))
    groups = [
        {**tag, "operations": [one for one in operations if one["tag"] == tag["name"]]}
        for tag in found["tags"]
    ]
    components = [_component(name, schema) for name, schema in found["components"]["schemas"].items()]
    return {"about": _paragraphs(found["info"]["description"]), "groups": groups, "components": components}


# --- operations


def _operations(found: Schema, origin: str) -> Iterator[dict[str, Any]]:
    for path, methods in found["paths"].items():
        for method, operation in methods.items():
            body = (
                operation.get("requestBody", {}).get("content", {}).get("application/json", {}).get("schema")
            )
            example = _example(found, body) if body else None
            parameters = operation.get("parameters", [])
            yield {
                "id": operation["operationId"],
                "tag": operation["tags"][0],
                "method": method.upper(),
                "path": path,
                "summary": operation["summary"],
                "about": _paragraphs(operation["description"]),
                "parameters": [_parameter(one) for one in parameters],
                "body": _form(body) if body else None,
                "example": json.dumps(example, indent=2, ensure_ascii=False) if example else "",
                "curl": _curl(origin, path, parameters, example),
                "answers": [_answer(status, one) for status, one in operation["responses"].items()],
            }


def _example(found: Schema, schema: Schema) -> Any:  # noqa: ANN401 - whatever JSON it is
    """The first example of a component."""
    return found["components"]["schemas"][_name(schema)]["examples"][0]


def _curl(origin: str, path: str, parameters: Iterable[Schema], example: object) -> str:
    """A command that can be copied as it stands: no example holds a quote."""
    for one in parameters:
        if one["in"] == "path":
            path = path.replace(f"{{{one['name']}}}", str(one["schema"]["examples"][0]))
    command = f"curl '{origin}{path}'"
    if example is None:
        return command
    body = json.dumps(example, ensure_ascii=False)
    return f"{command} \\\n  -H 'Content-Type: application/json' \\\n  -d '{body}'"


def _parameter(one: Schema) -> dict[str, Any]:
    return {
        "name": one["name"],
        "place": {"query": "query", "path": "address", "header": "header"}[one["in"]],
        "form": _form(one["schema"]),
        "needed": one.get("required", False),
        "about": _inline(one["description"]),
        "bounds": _bounds(one["schema"]),
    }


def _answer(status: str, one: Schema) -> dict[str, Any]:
    forms = [
        {"media_type": media_type, "form": _form(content["schema"])}
        for media_type, content in one.get("content", {}).items()
    ]
    return {
        "status": "other" if status == "default" else status,
        "about": _inline(one["description"]),
        "forms": forms,
    }


# --- components


def _component(name: str, schema: Schema) -> dict[str, Any]:
    needed = set(schema.get("required", ()))
    examples = [json.dumps(one, ensure_ascii=False) for one in schema.get("examples", ())]
    return {
        "name": name,
        "about": _paragraphs(schema.get("description", "")),
        "form": _form({key: value for key, value in schema.items() if key != "properties"}),
        "members": [
            {
                "name": member,
                "form": _form(given),
                "needed": member in needed,
                "about": _inline(given.get("description", "")),
                "bounds": _bounds(given),
            }
            for member, given in schema.get("properties", {}).items()
        ],
        "closed": schema.get("additionalProperties") is False,
        "examples": [one for one in examples if len(one) < 120],
    }


@dataclass(frozen=True, slots=True)
class Piece:
    """A few words; with an anchor, a link to a component."""

    text: str
    anchor: str = ""


def _form(schema: Schema) -> list[Piece]:
    """What kind of value it is, in words."""
    if "$ref" in schema:
        return [Piece(_name(schema), _name(schema))]
    for several in ("oneOf", "anyOf"):
        if several in schema and "properties" not in schema:
            forms = [_form(one) for one in schema[several]]
            return [] if [] in forms else _joined(forms, " or ")
    if "enum" in schema:
        shown = [_value(value) for value in schema["enum"]]
        return [Piece(f"one of {', '.join(shown)}" if len(shown) > 1 else shown[0])]
    if "const" in schema:
        return [Piece(_value(schema["const"]))]
    return _plain_form(schema)


def _plain_form(schema: Schema) -> list[Piece]:
    given = schema.get("type", "any")
    names = given if isinstance(given, list) else [given]
    return _joined([_typed(name, schema) for name in names], " or ")


def _typed(name: str, schema: Schema) -> list[Piece]:
    if name == "array":
        return [Piece("list of "), *_form(schema.get("items", {}))]
    if name == "object" and "properties" in schema:
        members = [[Piece(f"{member}: "), *_form(given)] for member, given in schema["properties"].items()]
        return [Piece("object with "), *_joined(members, "; ")]
    word = FORMATS.get(schema.get("format", "")) if name == "string" else None
    return [Piece(word or WORDS.get(name, name))]


def _joined(forms: list[list[Piece]], between: str) -> list[Piece]:
    pieces = list(forms[0])
    for form in forms[1:]:
        pieces += [Piece(between), *form]
    return pieces


def _bounds(schema: Schema) -> list[str]:
    found = [words.format(_value(schema[name])) for name, words in BOUNDS.items() if name in schema]
    return found + [f"for instance {_value(one)}" for one in schema.get("examples", ())]


def _value(value: object) -> str:
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _name(schema: Schema) -> str:
    return str(schema["$ref"]).removeprefix(COMPONENT)


# --- words


def _paragraphs(text: str) -> list[SafeString]:
    return [_inline(" ".join(paragraph.split())) for paragraph in text.split("\n\n") if paragraph.strip()]


def _inline(text: str) -> SafeString:
    """Text with the two marks that descriptions use: `code` and **strong**."""
    return format_html_join("", "{}", ((_marked(piece),) for piece in _MARKED.split(text)))


def _marked(piece: str) -> str:
    if piece.startswith("`"):
        return format_html("<code>{}</code>", piece.strip("`"))
    if piece.startswith("**"):
        return format_html("<b>{}</b>", piece.strip("*"))
    return piece
