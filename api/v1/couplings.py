"""Couplings."""

from api.v1.keys import code_key
from api.v1.reading import RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import shape_of
from catalog.models import Coupling
from catalog.package.resources.winches import COUPLINGS

SHAPE = shape_of(COUPLINGS, "Coupling")


@documented_list("Interfaces", "couplings", SHAPE)
class CouplingList(RowList):
    shape = SHAPE
    queryset = Coupling.objects.all()


@documented_detail("Interfaces", "coupling", SHAPE, code_key("coupling", "captive-25"))
class CouplingDetail(RowDetail):
    shape = SHAPE
    queryset = Coupling.objects.all()
