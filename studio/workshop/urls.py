from django.urls import path

from studio.workshop import pattern_views, views

urlpatterns = [
    path("", views.studio, name="workshop"),
    path("calendar/", views.calendar, name="workshop-calendar"),
    path("cautions/", views.cautions, name="workshop-cautions"),
    path("patterns/", pattern_views.patterns, name="workshop-patterns"),
    path("patterns/<slug:slug>/retire/", pattern_views.retire_pattern, name="workshop-pattern-retire"),
    path("price/new-currency/", views.new_currency, name="workshop-new-currency"),
    path("<slug:slug>/", views.rates, name="workshop-rates"),
]
