from django.urls import path

from studio.workshop import views

urlpatterns = [
    path("", views.studio, name="workshop"),
    path("calendar/", views.calendar, name="workshop-calendar"),
    path("<slug:slug>/", views.rates, name="workshop-rates"),
]
