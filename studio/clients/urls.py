from django.urls import path

from studio.clients import client_views, space_views

urlpatterns = [
    path("", client_views.clients, name="clients"),
    path("new/", client_views.new, name="client-new"),
    path("<slug:public_id>/", client_views.client, name="client"),
    path("<slug:public_id>/edit/", client_views.edit, name="client-edit"),
    path("<slug:public_id>/spaces/new/", space_views.new, name="space-new"),
    path("spaces/<slug:public_id>/", space_views.edit, name="space"),
]
