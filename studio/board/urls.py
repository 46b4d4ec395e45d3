from django.urls import path

from studio.board import views

app_name = "board"
urlpatterns = [path("", views.board, name="home")]
