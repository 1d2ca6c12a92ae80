"""Writing JSON fast."""

from collections.abc import Mapping
from typing import Any

import orjson
from rest_framework.renderers import BaseRenderer


class FastJSON(BaseRenderer):
    """For answers that are made of plain values already: texts, numbers, lists and objects."""

    media_type = "application/json"
    format = "json"
    charset = None

    def render(
        self,
        data: Any,  # noqa: ANN401 - whatever a view answers with
        accepted_media_type: str | None = None,
        renderer_context: Mapping[str, Any] | None = None,
    ) -> bytes:
        return b"" if data is None else orjson.dumps(data)
