from django.urls import path

from studio.commissions.clients import photograph_views, space_views, views

urlpatterns = [
    path("", views.clients, name="clients"),
    path("new/", views.new, name="client-new"),
    path("<slug:public_id>/", views.client, name="client"),
    path("<slug:public_id>/edit/", views.edit, name="client-edit"),
    path("<slug:public_id>/spaces/new/", space_views.new, name="space-new"),
    path("spaces/<slug:public_id>/", space_views.edit, name="space"),
    path("spaces/<slug:public_id>/photographs/", photograph_views.photographs, name="space-photographs"),
    path("photographs/<slug:public_id>/", photograph_views.photograph, name="photograph"),
]
