"""Who calls the API: whoever is signed in by the session."""

from rest_framework.authentication import SessionAuthentication
from rest_framework.request import Request


class SignedIn(SessionAuthentication):
    """Django's session. Unlike the base it names a scheme, so that a stranger gets 401 and not 403."""

    def authenticate_header(self, request: Request) -> str:
        return "Session"
