"""The id of the request or job that is being worked on, for answers, logs and the record."""

import logging
import secrets
from contextvars import ContextVar

_current: ContextVar[str] = ContextVar("request_id", default="-")


def new_request_id() -> str:
    """Make an id of our own for what begins now; an id that a client sends is never believed."""
    made = secrets.token_hex(8)
    _current.set(made)
    return made


def current_request_id() -> str:
    """The id of what is being worked on; ``-`` outside a request."""
    return _current.get()


class WithRequestId(logging.Filter):
    """Puts the request's id into each log line."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.request_id = current_request_id()
        return True
