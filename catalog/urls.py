"""The pages of the catalog."""

from django.urls import URLPattern, path

from catalog.pages.answer import answer
from catalog.pages.parts import part, parts
from catalog.pages.start import start, unit
from catalog.pages.winch import winch

urlpatterns: list[URLPattern] = [
    path("", start, name="start"),
    path("unit", unit, name="unit"),
    path("winches/<slug:code>", winch, name="winch"),
    path("answers/<str:encoded>", answer, name="answer"),
    path("parts", parts, name="parts"),
    path("parts/<path:sku>", part, name="part"),
]
