"""Makers of winches and parts."""

from api.v1.keys import code_key
from api.v1.reading import RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import shape_of
from catalog.models import Maker
from catalog.package.resources.winches import MAKERS
from catalog.search import makers_like

SHAPE = shape_of(MAKERS, "Maker")


@documented_list("Winches", "makers", SHAPE)
class MakerList(RowList):
    shape = SHAPE
    queryset = Maker.objects.all()
    find = staticmethod(makers_like)


@documented_detail("Winches", "maker", SHAPE, code_key("maker", "barleyloft"))
class MakerDetail(RowDetail):
    shape = SHAPE
    queryset = Maker.objects.all()
