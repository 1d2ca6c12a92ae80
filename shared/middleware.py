"""A request is one transaction, and has an id.

``RequestTransaction`` stands innermost. It opens the transaction just before a view runs, sets person and
organization in it, and ends it when the view's answer is ready, rendering included: an answer below 400 is
committed, any other answer and any exception are rolled back. Django turns exceptions into answers below a
middleware, so the status is what tells; without it the rows of a 400 and of a 500 would be kept.

A path without a view (404), a refusal at the doors, and a view marked ``without_transaction`` cost no query.
"""

import logging
from collections.abc import Callable

from django.contrib.auth.models import AnonymousUser
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.http import HttpRequest, HttpResponseBase
from django.http.response import HttpResponse
from django.urls import get_resolver, get_urlconf
from psycopg.pq import TransactionStatus

from shared.caller import ANONYMOUS, Caller, set_caller
from shared.models import Membership, Person
from shared.tenancy import Context, current_context, set_context
from shared.tracing import new_request_id

Answer = Callable[[HttpRequest], HttpResponseBase]
View = Callable[..., HttpResponseBase]

ORGANIZATION_IN_SESSION = "organization"
_OPEN = "pawlbook_transaction"

log = logging.getLogger(__name__)


class LostWork(DatabaseError):
    """The database had already given the transaction up, and the view answered as if it had not."""


class NotKept(IntegrityError):
    """A deferred constraint failed at the commit: what was relied on was changed at the same moment."""


def without_transaction[V: View](view: V) -> V:
    """Mark a view that needs neither rows nor a caller: no transaction is opened for it."""
    view.without_transaction = True  # type: ignore[attr-defined]
    return view


class RequestId:
    """Gives every request an id, which stands in its answer, its log lines and its record entries."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        made = new_request_id()
        response = self.get_response(request)
        response.headers["X-Request-Id"] = made
        return response


class RequestTransaction:
    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        try:
            response = self.get_response(request)
        except BaseException:
            # Django makes answers of exceptions, but not of the end of the process.
            self._take(request).roll_back()
            raise
        work = self._take(request)
        if response.status_code >= 400:
            work.roll_back()
            return response
        try:
            work.commit()
        except DatabaseError:
            log.exception("The transaction of %s %s could not be kept", request.method, request.path)
            return _server_error(request)
        return response

    def process_view(
        self, request: HttpRequest, view: View, args: tuple[object, ...], kwargs: dict[str, object]
    ) -> HttpResponseBase | None:
        if getattr(view, "without_transaction", False):
            return None
        work = Work()
        setattr(request, _OPEN, work)
        try:
            work.begin(request)
        except DatabaseError:
            log.exception("No transaction for %s %s", request.method, request.path)
            return _server_error(request)
        return None

    @staticmethod
    def _take(request: HttpRequest) -> "Work":
        """The request's work, or one that was never begun."""
        work: Work = getattr(request, _OPEN, None) or Work()
        return work


class Work:
    """The transaction of one request, from before its view until after its rendering."""

    def __init__(self) -> None:
        self._atomic: transaction.Atomic | None = None
        self._outside: Context | None = None

    def begin(self, request: HttpRequest) -> None:
        """Open the transaction and set who acts in it; nobody, when that cannot be found out."""
        if connection.in_atomic_block:
            # Inside another transaction (a test's) the settings would outlive this one.
            self._outside = current_context()
        atomic = transaction.atomic()
        atomic.__enter__()
        self._atomic = atomic
        caller = find_caller(request)
        set_context(caller.context)
        set_caller(request, caller)

    def roll_back(self) -> None:
        if self._atomic is None:
            return
        atomic, self._atomic = self._atomic, None
        if connection.in_atomic_block:
            transaction.set_rollback(True)
        atomic.__exit__(None, None, None)

    def commit(self) -> None:
        """Commit; raise a ``DatabaseError`` when what the view did is not kept."""
        if self._atomic is None:
            return
        if _is_lost():
            self.roll_back()
            raise LostWork("A statement failed and the view went on without a savepoint.")
        if self._outside is not None:
            set_context(self._outside)
        atomic, self._atomic = self._atomic, None
        try:
            atomic.__exit__(None, None, None)
        except IntegrityError as failed:
            raise NotKept(*failed.args) from failed


def _is_lost() -> bool:
    """Whether a commit would silently be a rollback: Django's or the server's own mark says so."""
    raw = connection.connection
    return (
        connection.needs_rollback or raw is None or raw.info.transaction_status != TransactionStatus.INTRANS
    )


def _server_error(request: HttpRequest) -> HttpResponseBase:
    """The project's own page or problem for a failure, told from the exception that is being handled."""
    handler = get_resolver(get_urlconf()).resolve_error_handler(500)
    response: HttpResponse = handler(request)
    return response


def find_caller(request: HttpRequest) -> Caller:
    """Who is signed in, and for which of their organizations they act: the one chosen, or their only one."""
    # Sign-in and memberships are read by person, before any organization is set.
    person = request.user
    if isinstance(person, AnonymousUser):
        return ANONYMOUS
    set_context(Context(person=person.pk))
    membership = _chosen_membership(person, request.session.get(ORGANIZATION_IN_SESSION))
    if membership is None:
        return Caller(person=person.pk)
    return Caller(person=person.pk, organization=membership.organization_id, role=membership.role)


def _chosen_membership(person: Person, chosen: str | None) -> Membership | None:
    found = list(Membership.objects.filter(person=person))
    if chosen is None:
        return found[0] if len(found) == 1 else None
    return next((membership for membership in found if str(membership.organization_id) == chosen), None)
