"""Every address of the site."""

from django.urls import URLPattern, URLResolver, include, path

from studio.commissions.measured.views import measured

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("studio.people.urls")),
    path("", include("studio.board.urls")),
    path("clients/", include("studio.commissions.clients.urls")),
    path("workshop/measured/", measured, name="workshop-measured"),
    path("workshop/", include("studio.workshop.urls")),
    path("commissions/", include("studio.commissions.urls")),
    path("proposals/", include("studio.proposals.urls")),
    path("jobs/", include("studio.jobs.urls")),
    path("p/", include("studio.proposals.public_urls")),
]
