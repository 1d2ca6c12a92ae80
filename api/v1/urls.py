"""The addresses of the API, first version. It only grows."""

from django.urls import URLPattern, URLResolver, path
from drf_spectacular.views import SpectacularJSONAPIView

from shared.middleware import without_transaction

urlpatterns: list[URLPattern | URLResolver] = [
    path("openapi.json", without_transaction(SpectacularJSONAPIView.as_view()), name="openapi"),
]
