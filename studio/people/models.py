"""The people who work in the studio. They sign in with their e-mail address."""

from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, password: str | None = None, **fields: Any) -> "User":
        user = self.model(email=plain_email(email), **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def get_by_natural_key(self, username: str | None) -> "User":
        return self.get(email=plain_email(username or ""))


class User(AbstractBaseUser):
    """`role` says what is open to a person: the workshop sees no price and no client, a designer changes no
    rates and erases nobody."""

    class Role(models.TextChoices):
        OWNER = "owner"
        DESIGNER = "designer"
        WORKSHOP = "workshop"

    email = models.EmailField("e-mail address", unique=True)
    display_name = models.CharField("name", max_length=120)
    role = models.CharField(max_length=10, choices=Role, default=Role.DESIGNER)
    is_active = models.BooleanField("may sign in", default=True)
    joined_at = models.DateTimeField(default=timezone.now, editable=False)

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["display_name"]

    objects: ClassVar[UserManager] = UserManager()

    class Meta:
        constraints = (
            models.UniqueConstraint(Lower("email"), name="one_user_per_email"),
            models.CheckConstraint(
                condition=models.Q(role__in=["owner", "designer", "workshop"]), name="user_role_is_known"
            ),
        )

    def __str__(self) -> str:
        return self.display_name or self.email

    def may(self, audience: str) -> bool:
        """Whether what is for `audience` (studio.people.audience) is for this person too."""
        return RANK[self.role] >= RANK.get(audience, 0)

    @property
    def is_owner(self) -> bool:
        return self.may("owner")

    @property
    def is_designer(self) -> bool:
        return self.may("designer")


RANK = {User.Role.WORKSHOP.value: 1, User.Role.DESIGNER.value: 2, User.Role.OWNER.value: 3}
"""Each role may do what those below it may."""


def plain_email(email: str) -> str:
    """As it is stored and compared."""
    return email.strip().lower()
