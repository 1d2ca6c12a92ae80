"""Who a request comes from, as the request's transaction found out."""

from dataclasses import dataclass
from uuid import UUID

from django.http import HttpRequest

from shared.tenancy import Context

_ATTRIBUTE = "pawlbook_caller"


@dataclass(frozen=True, slots=True)
class Caller:
    """A person, the organization chosen among their memberships, the role there; each may be absent."""

    person: UUID | None = None
    organization: UUID | None = None
    role: str = ""

    @property
    def context(self) -> Context:
        return Context(person=self.person, organization=self.organization)


ANONYMOUS = Caller()


def caller_of(request: HttpRequest) -> Caller:
    """The caller of a request; ``ANONYMOUS`` where no transaction was opened for it."""
    caller: Caller = getattr(request, _ATTRIBUTE, ANONYMOUS)
    return caller


def set_caller(request: HttpRequest, caller: Caller) -> None:
    setattr(request, _ATTRIBUTE, caller)
