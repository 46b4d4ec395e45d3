from django.apps import AppConfig


class BoardConfig(AppConfig):
    name = "studio.board"
