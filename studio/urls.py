"""Every address of the site."""

from importlib.util import find_spec

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [path("", include("studio.people.urls"))]
for prefix, app in (
    ("", "board"),
    ("clients/", "clients"),
    ("workshop/", "workshop"),
    ("commissions/", "commissions"),
    ("proposals/", "proposals"),
):
    if find_spec(f"studio.{app}.urls"):
        urlpatterns.append(path(prefix, include(f"studio.{app}.urls")))
urlpatterns.append(path("p/", include("studio.proposals.public_urls")))
