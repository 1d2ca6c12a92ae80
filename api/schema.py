"""What the OpenAPI document says beside the views: how every refusal looks."""

from typing import Any

from api.problems import MEDIA_TYPE, published, status_of
from shared.errors import PawlbookError

_TEXT = {"type": "string"}


def document_problems(result: dict[str, Any], **_: Any) -> dict[str, Any]:
    """Give every operation its refusals: a problem of a published type, by status and for all others."""
    schemas = result.setdefault("components", {}).setdefault("schemas", {})
    schemas["Problem"] = _problem()
    for path, methods in result.get("paths", {}).items():
        for operation in methods.values():
            if "requestBody" in operation:
                operation["requestBody"]["required"] = True
            responses = operation.setdefault("responses", {})
            for status in _statuses(path, operation):
                responses.setdefault(str(status), _answer(_types_in_words(status)))
            responses.setdefault("default", _answer("Any other refusal."))
    return result


def _answer(about: str) -> dict[str, Any]:
    content = {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}}
    return {"description": about, "content": content}


def _statuses(path: str, operation: dict[str, Any]) -> list[int]:
    """The statuses that an operation may refuse with, as far as its form tells."""
    found = [400, 406, 429]
    if "{" in path:
        found.append(404)
    if "requestBody" in operation:
        found += [409, 413, 415, 422]
    return sorted(found)


def _types_in_words(status: int) -> str:
    codes = sorted({cls.code for cls in published() if status_of(cls) == status and _over_http(cls)})
    return f"{'One of: ' if len(codes) > 1 else ''}{', '.join(f'`{code}`' for code in codes)}."


def _over_http(cls: type[PawlbookError]) -> bool:
    """Whether requests can meet it. Mistakes in the files of a package are told by the keeper's commands."""
    return not cls.__module__.startswith(("catalog.package", "catalog.actions"))


def _problem() -> dict[str, Any]:
    fault = {
        "type": "object",
        "required": ["pointer", "code", "message"],
        "properties": {
            "pointer": {
                **_TEXT,
                "description": "JSON pointer (RFC 6901) to the place; a parameter as /name.",
            },
            "code": {**_TEXT, "description": "The type of this fault, without its prefix."},
            "message": {**_TEXT, "description": "The fault in a sentence."},
        },
    }
    types = sorted({f"urn:pawlbook:problem:{cls.code}" for cls in published()})
    return {
        "type": "object",
        "description": "Why a request was refused (RFC 9457).",
        "required": ["type", "title", "status", "detail", "help", "request_id"],
        "properties": {
            "type": {"type": "string", "enum": types, "description": "What is wrong; never changes."},
            "title": {**_TEXT, "description": "The type in a few words."},
            "status": {"type": "integer", "description": "The status of the answer."},
            "detail": {**_TEXT, "description": "What is wrong this time, in a sentence."},
            "errors": {"type": "array", "items": fault, "description": "Faults of the input, all of them."},
            "help": {**_TEXT, "description": "Where the type is explained."},
            "request_id": {**_TEXT, "description": "Tells whoever runs the server which request it was."},
        },
    }
