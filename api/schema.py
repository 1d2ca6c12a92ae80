"""What the OpenAPI document says beside the views: how every refusal looks."""

from typing import Any

from api.problems import MEDIA_TYPE, published

_TEXT = {"type": "string"}


def document_problems(result: dict[str, Any], **_: Any) -> dict[str, Any]:
    """Give every operation its ``default`` answer: a problem of a published type."""
    schemas = result.setdefault("components", {}).setdefault("schemas", {})
    schemas["Problem"] = _problem()
    answer = {
        "description": "A refusal, as problem details (RFC 9457).",
        "content": {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
    }
    for methods in result.get("paths", {}).values():
        for operation in methods.values():
            operation.setdefault("responses", {}).setdefault("default", answer)
    return result


def _problem() -> dict[str, Any]:
    fault = {
        "type": "object",
        "required": ["pointer", "code", "message"],
        "properties": {
            "pointer": {
                **_TEXT,
                "description": "JSON pointer (RFC 6901) to the place; a parameter as /name.",
            },
            "code": _TEXT,
            "message": _TEXT,
        },
    }
    types = sorted({f"urn:pawlbook:problem:{cls.code}" for cls in published()})
    return {
        "type": "object",
        "required": ["type", "title", "status", "detail", "help", "request_id"],
        "properties": {
            "type": {"type": "string", "enum": types},
            "title": _TEXT,
            "status": {"type": "integer"},
            "detail": _TEXT,
            "errors": {"type": "array", "items": fault, "description": "Faults of the input, all of them."},
            "help": {**_TEXT, "description": "Where the type is explained."},
            "request_id": _TEXT,
        },
    }
