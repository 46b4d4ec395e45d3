"""Every address of the site."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("studio.people.urls")),
    path("", include("studio.board.urls")),
    path("clients/", include("studio.clients.urls")),
    path("workshop/", include("studio.workshop.urls")),
    path("commissions/", include("studio.commissions.urls")),
    path("proposals/", include("studio.proposals.urls")),
    path("p/", include("studio.proposals.public_urls")),
]
