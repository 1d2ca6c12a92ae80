"""Base patterns."""

from api.v1.keys import code_key
from api.v1.reading import RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import shape_of
from catalog.models import BasePattern
from catalog.package.resources.winches import BASE_PATTERNS

SHAPE = shape_of(BASE_PATTERNS, "BasePattern")


@documented_list("Interfaces", "base patterns", SHAPE)
class BasePatternList(RowList):
    shape = SHAPE
    queryset = BasePattern.objects.all()


@documented_detail("Interfaces", "base pattern", SHAPE, code_key("base pattern", "eight-on-144"))
class BasePatternDetail(RowDetail):
    shape = SHAPE
    queryset = BasePattern.objects.all()
