"""Reading the bodies of requests."""

from collections.abc import Mapping
from typing import IO, Any

from rest_framework.parsers import BaseParser

from shared.strict_json import NotJSON, read_json

__all__ = ["NotJSON", "StrictJSONParser", "read_json"]


class StrictJSONParser(BaseParser):
    """JSON as ``shared.strict_json`` reads it."""

    media_type = "application/json"

    def parse(
        self,
        stream: IO[bytes],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:  # noqa: ANN401 - whatever the JSON holds
        return read_json(stream.read())
