"""Winch families: a maker's lines of winches."""

from django_filters import FilterSet

from api.v1.filtering import CodeFilter
from api.v1.keys import code_key
from api.v1.reading import RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import shape_of
from catalog.models import WinchFamily
from catalog.package.resources.winches import FAMILIES
from catalog.search import families_like

SHAPE = shape_of(FAMILIES, "WinchFamily")


class FamilyFilters(FilterSet):
    maker = CodeFilter("maker", "Code of the maker.")


@documented_list("Winches", "winch families", SHAPE)
class WinchFamilyList(RowList):
    shape = SHAPE
    queryset = WinchFamily.objects.all()
    filterset_class = FamilyFilters
    find = staticmethod(families_like)


@documented_detail("Winches", "winch family", SHAPE, code_key("family", "bellows"))
class WinchFamilyDetail(RowDetail):
    shape = SHAPE
    queryset = WinchFamily.objects.all()
