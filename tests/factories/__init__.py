"""One factory for each model. Rows of an organization are made as that organization, as the program does it.

A factory for a new tenant model goes into the file of its app and is imported here:

    class SurveyFactory(TenantFactory[Survey]):
        class Meta:
            model = Survey

Call ``SurveyFactory.create(...)``, which is typed, rather than ``SurveyFactory(...)``.
"""

from tests.factories.base import TenantFactory
from tests.factories.people import (
    AllowanceFactory,
    MembershipFactory,
    OrganizationFactory,
    PersonFactory,
    sign_in,
)
from tests.factories.record import RecordEntryFactory

__all__ = [
    "AllowanceFactory",
    "MembershipFactory",
    "OrganizationFactory",
    "PersonFactory",
    "RecordEntryFactory",
    "TenantFactory",
    "sign_in",
]
