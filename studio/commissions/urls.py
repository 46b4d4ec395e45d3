from django.urls import path

from studio.commissions.budget import views as budget
from studio.commissions.call import entry_views
from studio.commissions.call import views as call
from studio.commissions.drawing import drilling
from studio.commissions.drawing import views as drawing
from studio.commissions.enquiry import views as enquiry
from studio.commissions.fits import views as fits
from studio.commissions.making import views as making
from studio.commissions.money import views as money

OPTION = "<slug:public_id>/options/<slug:letter>/"

urlpatterns = [
    path("new/", enquiry.new, name="commission-new"),
    path("<slug:public_id>/", enquiry.commission, name="commission"),
    path("<slug:public_id>/about/", enquiry.about, name="commission-about"),
    path(OPTION, call.option, name="option"),
    path(f"{OPTION}cell/", call.cell, name="option-cell"),
    path(f"{OPTION}range/", call.price_range, name="option-range"),
    path(f"{OPTION}said/", entry_views.said, name="option-said"),
    path(f"{OPTION}rates/", call.newer_rates, name="option-rates"),
    path(f"{OPTION}copy/", call.copy, name="option-copy"),
    path(f"{OPTION}remove/", call.remove, name="option-remove"),
    path(f"{OPTION}back/", call.back, name="option-back"),
    path(f"{OPTION}undo/", call.undo_change, name="option-undo"),
    path(f"{OPTION}money/", money.money, name="option-money"),
    path(f"{OPTION}rates/compare/", money.compare_rates, name="option-rates-compare"),
    path(f"{OPTION}budget/", budget.budget, name="option-budget"),
    path(f"{OPTION}budget/take/", budget.budget_take, name="option-budget-take"),
    path(f"{OPTION}fits/", fits.fits, name="option-fits"),
    path(f"{OPTION}making/", making.making, name="option-making"),
    path(f"{OPTION}drilling/", drilling.drilling, name="option-drilling"),
    path(f"{OPTION}drilling/<str:name>", drilling.drilling_file, name="option-drilling-file"),
    path(f"{OPTION}elevation.svg", drawing.elevation, name="elevation"),
    path(f"{OPTION}thumbnail.svg", drawing.thumbnail, name="thumbnail"),
]
