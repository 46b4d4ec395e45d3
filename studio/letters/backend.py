"""Django's way to a mail server, which remembers whether the text of a letter was under way."""

from smtplib import SMTP, SMTP_SSL
from typing import Any

from django.core.mail.backends import smtp

__all__ = ["EmailBackend"]


class _Watched(SMTP):
    """Before DATA a letter that comes to nothing has surely not been taken; after it, nobody knows."""

    data_began = False

    def data(self, msg: Any) -> tuple[int, bytes]:
        self.data_began = True
        return super().data(msg)


class _WatchedTLS(_Watched, SMTP_SSL):
    pass


class EmailBackend(smtp.EmailBackend):
    @property
    def connection_class(self) -> type[SMTP]:
        return _WatchedTLS if self.use_ssl else _Watched

    @property
    def data_began(self) -> bool:
        return getattr(self.connection, "data_began", False)
