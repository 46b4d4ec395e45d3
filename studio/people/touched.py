"""Who changed which field of a row last."""

from collections.abc import Callable, Iterable
from itertools import pairwise

from django.db import models

from studio.people.models import User

__all__ = ["Touched", "called", "last_changer"]


def called(user: int | None, reader: User | None) -> str:
    """A person's name as `reader` reads it."""
    if user is not None and reader is not None and user == reader.pk:
        return "you"
    return str((user and User.objects.filter(pk=user).first()) or "somebody else")


def last_changer(history: Iterable[tuple[int | None, object]], reader: User | None) -> str:
    """Who changed a value last, from each change's user and the value after it, the newest first."""
    for (user, now), (_earlier, before) in pairwise(history):
        if now != before:
            return called(user, reader)
    return called(None, reader)


class Touched(models.Model):
    """A row that remembers whom each field of its form was changed by, by dotted path, and under "" who saved
    it last: keys of users."""

    touched = models.JSONField(default=dict, editable=False)

    class Meta:
        abstract = True

    def touch(self, changed: Iterable[str], by: User | None) -> None:
        """Not saved."""
        paths = list(changed)
        if paths:
            self.touched = {**self.touched, **dict.fromkeys((*paths, ""), by.pk if by else None)}

    def toucher(self, reader: User | None) -> Callable[[str], str]:
        """Names who changed what is at a path last, for `reader`."""

        def who(path: str) -> str:
            inside = (user for name, user in self.touched.items() if name.startswith(f"{path}."))
            user = self.touched.get(path, next(inside, self.touched.get("")))
            return called(user, reader)

        return who
