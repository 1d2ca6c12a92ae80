"""Limits that hold: each take is one atomic statement, on a connection of its own.

A caller has ``count`` units that come back evenly over ``seconds``. One row for each caller keeps the moment
from which everything is there again (``rested_at``); taking one unit moves it by ``seconds / count``. A take
that would move it further than ``seconds`` ahead is refused and moves nothing. However many requests arrive
at once, the row is locked by one statement at a time, so no more than ``count`` pass.

It must be counted even when the request is rolled back, so it runs on the alias ``apart``, in autocommit.
"""

import ipaddress
import math

from django.conf import settings
from django.db import connections
from django.http import HttpRequest
from django.utils.crypto import salted_hmac

from shared.rates import Rate

_TAKE = """
INSERT INTO shared_allowance AS held (key, rested_at)
VALUES (%(key)s, statement_timestamp() + %(step)s * interval '1 second')
ON CONFLICT (key) DO UPDATE
SET rested_at = greatest(held.rested_at, statement_timestamp()) + %(step)s * interval '1 second'
WHERE greatest(held.rested_at, statement_timestamp()) + %(step)s * interval '1 second'
      <= statement_timestamp() + %(seconds)s * interval '1 second'
RETURNING 1
"""
_WAIT = """
SELECT extract(epoch FROM rested_at - statement_timestamp()) + %(step)s - %(seconds)s
FROM shared_allowance WHERE key = %(key)s
"""


def take(limit: str, caller: str, rate: Rate) -> int | None:
    """Take one unit of ``limit`` for ``caller``. ``None`` when it was there, else the seconds to wait."""
    held: dict[str, str | float] = {
        "key": f"{limit}:{caller}",
        "step": rate.seconds / rate.count,
        "seconds": rate.seconds,
    }
    with connections["apart"].cursor() as cursor:
        cursor.execute(_TAKE, held)
        if cursor.fetchone():
            return None
        cursor.execute(_WAIT, held)
        found = cursor.fetchone()
    # The row may just have been tidied away; then the next try passes.
    return max(1, math.ceil(found[0])) if found else 1


def forget_rested() -> int:
    """Delete the rows that hold nothing back any more; the number deleted."""
    with connections["apart"].cursor() as cursor:
        cursor.execute("DELETE FROM shared_allowance WHERE rested_at < statement_timestamp()")
        return int(cursor.rowcount)


def client_address(request: HttpRequest) -> str:
    """The address a request comes from, as far as it can be believed.

    ``X-Forwarded-For`` counts only with ``PAWLBOOK_PROXIES``: each of them has added one entry at its end, so
    the client's is that many from the end; what stands before it the client may have written itself.
    """
    direct = str(request.META.get("REMOTE_ADDR", ""))
    if not settings.PROXIES:
        return direct
    forwarded = [entry.strip() for entry in request.headers.get("X-Forwarded-For", "").split(",")]
    return forwarded[-settings.PROXIES] if len(forwarded) >= settings.PROXIES else direct


def client_key(request: HttpRequest) -> str:
    """What stands for a client in a limit: its address, for IPv6 its network of 64 bits, never readable."""
    address = client_address(request)
    try:
        parsed = ipaddress.ip_address(address)
    except ValueError:
        network = address
    else:
        network = str(ipaddress.ip_network((parsed, 64), strict=False)) if parsed.version == 6 else address
    return salted_hmac("pawlbook.throttle", network, algorithm="sha256").hexdigest()[:32]
