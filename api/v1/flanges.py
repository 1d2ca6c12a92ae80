"""Flanges."""

from api.v1.keys import code_key
from api.v1.reading import RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import shape_of
from catalog.models import Flange
from catalog.package.resources.winches import FLANGES

SHAPE = shape_of(FLANGES, "Flange")


@documented_list("Interfaces", "flanges", SHAPE)
class FlangeList(RowList):
    shape = SHAPE
    queryset = Flange.objects.all()


@documented_detail("Interfaces", "flange", SHAPE, code_key("flange", "four-lug-110"))
class FlangeDetail(RowDetail):
    shape = SHAPE
    queryset = Flange.objects.all()
