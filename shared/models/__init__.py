from shared.models.allowance import Allowance
from shared.models.organization import Membership, Organization
from shared.models.person import Person
from shared.models.record import RecordEntry

__all__ = ["Allowance", "Membership", "Organization", "Person", "RecordEntry"]
