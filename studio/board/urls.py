from django.urls import path

from studio.board import letters, views

app_name = "board"
urlpatterns = [
    path("", views.board, name="home"),
    path("letters/", letters.letters, name="letters"),
    path("letters/<uuid:public_id>/", letters.settle_letter, name="settle-letter"),
]
