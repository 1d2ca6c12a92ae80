"""The problems of HTTP itself, as classes like all others; their statuses are in ``problems.py``."""

from shared.errors import FaultyInput, PawlbookError, Unreadable
from shared.words import N_


class NotFound(PawlbookError):
    """Also for what exists but is somebody else's: the same answer, so that nothing is learnt from it."""

    code = "not-found"
    title = N_("There is nothing here")
    sentence = N_("There is nothing at this address, or nothing that you may see.")
    advice = N_("Check the address. What belongs to another organization looks like what does not exist.")


class MethodNotAllowed(PawlbookError):
    code = "method-not-allowed"
    title = N_("This address does not take that method")
    sentence = N_("{method} is not possible at this address.")
    advice = N_("The header Allow lists the methods that are.")


class NotAcceptable(PawlbookError):
    code = "not-acceptable"
    title = N_("No such form of answer")
    sentence = N_("The answer does not exist in a form that the request accepts.")
    advice = N_("Accept application/json.")


class UnsupportedMediaType(PawlbookError):
    code = "unsupported-media-type"
    title = N_("The body is in a form that is not read here")
    sentence = N_("A body of type {media_type} is not read at this address.")
    advice = N_("Send JSON in UTF-8 and the header Content-Type: application/json.")


class BodyTooLarge(PawlbookError):
    code = "body-too-large"
    title = N_("The body is too large")
    sentence = N_("The body is larger than the {limit} bytes that are read at this address.")
    advice = N_("Send less at once.")


class TooManyRequests(PawlbookError):
    code = "too-many-requests"
    title = N_("Too many requests")
    sentence = N_("Too many requests from this address; the next one is answered in {wait} seconds.")
    advice = N_("Wait as long as the header Retry-After says.")


class SignInNeeded(PawlbookError):
    code = "sign-in-needed"
    title = N_("Only for those who are signed in")
    sentence = N_("This address answers only those who are signed in.")
    advice = N_("Sign in and send the request again.")


class NotAllowed(PawlbookError):
    code = "not-allowed"
    title = N_("Not allowed")
    sentence = N_("You are known, and this is not among the things that you may do.")
    advice = N_("Ask whoever manages your organization; or choose the organization for which you act.")


class FormExpired(NotAllowed):
    code = "form-expired"
    title = N_("The form is no longer valid")
    sentence = N_("The form was not sent from a page of this site, or the page was too old.")
    advice = N_("Open the page again and send the form once more. Cookies must be allowed.")


class BadRequest(Unreadable):
    code = "bad-request"
    title = N_("The request is not well formed")
    sentence = N_("The request is not well formed: {reason}.")


class FaultyParameters(FaultyInput):
    """Faults of query parameters; pointers name the parameter: ``/year``."""

    code = "faulty-parameter"
    title = N_("A parameter of the address has a fault")
    sentence = N_("{parameter}: {reason}")
    advice = N_(
        "Correct the parameters listed under errors; the documentation of the address lists all of them."
    )


class ServerFault(PawlbookError):
    code = "server-fault"
    title = N_("A fault of the program")
    sentence = N_("The program has a fault here; nothing was changed. The request's id helps to find it.")
    advice = N_("Report the request's id to whoever runs this server.")


class Unavailable(PawlbookError):
    code = "unavailable"
    title = N_("Not available for the moment")
    sentence = N_("The database cannot do this at the moment; nothing was changed.")
    advice = N_("Send the same request again after the seconds that the header Retry-After states.")


class ChangedTogether(PawlbookError):
    """The transaction could not be kept, because another one changed what it relied on."""

    code = "changed-together"
    title = N_("Somebody changed the same thing at the same moment")
    sentence = N_("What this step relied on was changed at the same moment; nothing was changed by it.")
    advice = N_("Read the present state and repeat the step if it still makes sense.")
