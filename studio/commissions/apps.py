from django.apps import AppConfig


class CommissionsConfig(AppConfig):
    name = "studio.commissions"
