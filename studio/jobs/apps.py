from django.apps import AppConfig


class JobsConfig(AppConfig):
    name = "studio.jobs"

    def ready(self) -> None:
        from studio.jobs import erasing  # noqa: F401 (it listens)
