"""Addresses for clients: whoever knows the token may read one issue and answer it."""

from django.urls import path

from studio.proposals import public

app_name = "public"
urlpatterns = [
    path("<str:token>/", public.page, name="proposal-page"),
    path("<str:token>/pdf/", public.pdf, name="proposal-pdf"),
    path("<str:token>/answer/", public.answer, name="proposal-answer"),
    path("<str:token>/message/", public.message, name="proposal-message"),
]
