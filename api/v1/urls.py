"""The addresses of the API, first version. It only grows."""

from django.urls import URLPattern, URLResolver, path, register_converter

from api.v1.base_patterns import BasePatternDetail, BasePatternList
from api.v1.couplings import CouplingDetail, CouplingList
from api.v1.exceptions import ExceptionDetail, ExceptionList
from api.v1.flanges import FlangeDetail, FlangeList
from api.v1.keys import CodeInPath, SkuInPath
from api.v1.lookups import lookups
from api.v1.makers import MakerDetail, MakerList
from api.v1.openapi import openapi
from api.v1.parts import PartDetail, PartList
from api.v1.production_runs import ProductionRunDetail, ProductionRunList
from api.v1.revisions import RevisionDetail, RevisionFile, RevisionList
from api.v1.spindles import SpindleDetail, SpindleList
from api.v1.winch_families import WinchFamilyDetail, WinchFamilyList
from api.v1.winch_models import WinchModelDetail, WinchModelList

register_converter(CodeInPath, "code")
register_converter(SkuInPath, "sku")

urlpatterns: list[URLPattern | URLResolver] = [
    path("openapi.json", openapi, name="openapi"),
    path("lookups", lookups, name="lookups"),
    path("makers", MakerList.as_view()),
    path("makers/<code:code>", MakerDetail.as_view()),
    path("winch-families", WinchFamilyList.as_view()),
    path("winch-families/<code:code>", WinchFamilyDetail.as_view()),
    path("winch-models", WinchModelList.as_view()),
    path("winch-models/<code:code>", WinchModelDetail.as_view()),
    path("production-runs", ProductionRunList.as_view()),
    path("production-runs/<code:code>", ProductionRunDetail.as_view()),
    path("base-patterns", BasePatternList.as_view()),
    path("base-patterns/<code:code>", BasePatternDetail.as_view()),
    path("spindles", SpindleList.as_view()),
    path("spindles/<code:code>", SpindleDetail.as_view()),
    path("flanges", FlangeList.as_view()),
    path("flanges/<code:code>", FlangeDetail.as_view()),
    path("couplings", CouplingList.as_view()),
    path("couplings/<code:code>", CouplingDetail.as_view()),
    path("parts", PartList.as_view()),
    path("parts/<sku:sku>", PartDetail.as_view()),
    path("revisions", RevisionList.as_view()),
    path("revisions/<int:number>", RevisionDetail.as_view()),
    path("revisions/<int:number>/files/<str:name>", RevisionFile.as_view()),
    path("exceptions", ExceptionList.as_view()),
    path("exceptions/<code:code>", ExceptionDetail.as_view()),
]
