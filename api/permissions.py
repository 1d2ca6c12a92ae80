"""Who may call what. Which rows they then see is decided by the row policies."""

from typing import TYPE_CHECKING

from rest_framework.permissions import BasePermission
from rest_framework.request import Request

from shared.caller import caller_of
from shared.models import Membership

if TYPE_CHECKING:
    # The views' module asks for the settings, and the settings for this one.
    from rest_framework.views import APIView


class ActsForOrganization(BasePermission):
    """Members, for the organization chosen; readers only read. The rule of all that is not public."""

    def has_permission(self, request: Request, view: "APIView") -> bool:
        caller = caller_of(request._request)  # noqa: SLF001 - the caller was found before the REST framework began
        if caller.organization is None:
            return False
        return caller.role != Membership.Role.READER or request.method in {"GET", "HEAD", "OPTIONS"}
