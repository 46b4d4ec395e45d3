from django.apps import AppConfig


class ProposalsConfig(AppConfig):
    name = "studio.proposals"
