"""Spindles."""

from api.v1.keys import code_key
from api.v1.reading import RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import shape_of
from catalog.models import Spindle
from catalog.package.resources.winches import SPINDLES

SHAPE = shape_of(SPINDLES, "Spindle")


@documented_list("Interfaces", "spindles", SHAPE)
class SpindleList(RowList):
    shape = SHAPE
    queryset = Spindle.objects.all()


@documented_detail("Interfaces", "spindle", SHAPE, code_key("spindle", "closed-hex-20"))
class SpindleDetail(RowDetail):
    shape = SHAPE
    queryset = Spindle.objects.all()
