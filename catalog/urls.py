"""The pages of the catalog."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
