from django.urls import path

from studio.commissions import (
    budget_views,
    call_views,
    drawing_views,
    fit_views,
    making_views,
    money_views,
    views,
)

urlpatterns = [
    path("new/", views.new, name="commission-new"),
    path("<slug:public_id>/", views.commission, name="commission"),
    path("<slug:public_id>/about/", views.about, name="commission-about"),
    path("<slug:public_id>/said/", views.said, name="commission-said"),
    path("<slug:public_id>/options/<slug:letter>/", call_views.option, name="option"),
    path("<slug:public_id>/options/<slug:letter>/cell/", call_views.cell, name="option-cell"),
    path("<slug:public_id>/options/<slug:letter>/rates/", call_views.newer_rates, name="option-rates"),
    path("<slug:public_id>/options/<slug:letter>/copy/", call_views.copy, name="option-copy"),
    path("<slug:public_id>/options/<slug:letter>/remove/", call_views.remove, name="option-remove"),
    path("<slug:public_id>/options/<slug:letter>/back/", call_views.back, name="option-back"),
    path("<slug:public_id>/options/<slug:letter>/undo/", call_views.undo_change, name="option-undo"),
    path("<slug:public_id>/options/<slug:letter>/money/", money_views.money, name="option-money"),
    path(
        "<slug:public_id>/options/<slug:letter>/rates/compare/",
        money_views.compare_rates,
        name="option-rates-compare",
    ),
    path("<slug:public_id>/options/<slug:letter>/budget/", budget_views.budget, name="option-budget"),
    path(
        "<slug:public_id>/options/<slug:letter>/budget/take/",
        budget_views.budget_take,
        name="option-budget-take",
    ),
    path("<slug:public_id>/options/<slug:letter>/fits/", fit_views.fits, name="option-fits"),
    path("<slug:public_id>/options/<slug:letter>/making/", making_views.making, name="option-making"),
    path("<slug:public_id>/options/<slug:letter>/elevation.svg", drawing_views.elevation, name="elevation"),
    path("<slug:public_id>/options/<slug:letter>/thumbnail.svg", drawing_views.thumbnail, name="thumbnail"),
]
