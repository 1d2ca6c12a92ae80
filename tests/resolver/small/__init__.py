"""Small random catalogs and questions on a lattice of 1 mm, for properties and long runs.

Everything is drawn from one ``random.Random``, so that a seed names an example. The figures lie tight around
each other: most questions are decided by a millimetre, a volt or a serial number.
"""

from tests.resolver.small.catalogs import small_catalog
from tests.resolver.small.changes import mirror, shuffle, with_strangers
from tests.resolver.small.luck import AS_OF
from tests.resolver.small.questions import small_question

__all__ = ["AS_OF", "mirror", "shuffle", "small_catalog", "small_question", "with_strangers"]
