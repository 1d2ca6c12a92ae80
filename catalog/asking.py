"""Asking the catalog: from JSON text to an answer of one revision. What the API, the terminal and the pages
call.
"""

import base64
import binascii
import json
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from catalog.queries import RevisionInfo, compiled
from catalog.resolver.answer import Answer, RevisionRef
from catalog.resolver.answer_json import as_json
from catalog.resolver.compile import Compiled
from catalog.resolver.question import Question, normalised, read_question
from catalog.resolver.search import answer
from shared import strict_json
from shared.errors import Unreadable
from shared.units import Unit

LONGEST_QUESTION_BYTES = 64 * 1024
LONGEST_ADDRESS = 6_000
"""A question whose address would be longer is posted instead."""


@dataclass(frozen=True, slots=True)
class Asked:
    answer: Answer
    compiled: Compiled
    revision: RevisionInfo

    def as_json(self, unit: Unit = Unit.MM) -> dict[str, Any]:
        return as_json(self.answer, self.compiled.catalog, unit)


def read_json(text: str | bytes) -> object:
    """Parse the JSON of a question strictly. Raises ``Unreadable`` or ``NumberTooLong``."""
    body = text.encode(errors="surrogatepass") if isinstance(text, str) else text
    if len(body) > LONGEST_QUESTION_BYTES:
        raise Unreadable(reason=f"it is longer than {LONGEST_QUESTION_BYTES} bytes")
    return strict_json.read_json(body)


def ask(data: object, *, today: date) -> Asked:
    """Answer parsed JSON. ``today`` fills an absent date; an absent revision is the newest.

    Raises what ``read_question`` and ``answer`` raise, ``UnknownRevision`` and ``NothingPublished``.
    """
    return ask_question(read_question(data, today=today))


def ask_question(question: Question) -> Asked:
    """Answer a question that was read. The answer's question names the revision that was asked."""
    info, state = compiled(question.revision)
    pinned = replace(question, revision=info.number)
    return Asked(answer(state, pinned, RevisionRef(info.number, info.sha256)), state, info)


def address_of(question: Question) -> str | None:
    """The question as it stands in an address: canonical JSON in base64url. None when that would be too
    long.
    """
    text = json.dumps(normalised(question), separators=(",", ":"), sort_keys=True, ensure_ascii=False)
    encoded = base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")
    return encoded if len(encoded) <= LONGEST_ADDRESS else None


def read_address(encoded: str) -> object:
    """The JSON of a question from an address. Raises ``Unreadable`` for one that was cut off or changed."""
    try:
        text = base64.b64decode(encoded + "=" * (-len(encoded) % 4), altchars=b"-_", validate=True)
    except (binascii.Error, ValueError):
        raise Unreadable(reason="the address was cut off or changed") from None
    return read_json(text)
