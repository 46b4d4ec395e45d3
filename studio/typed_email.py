"""An e-mail address as it is typed: empty, or one to which a letter can be sent."""

from typing import Annotated

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from pydantic import AfterValidator, Field

__all__ = ["Email"]


def _sendable(text: str) -> str:
    try:
        if text:
            validate_email(text)
    except ValidationError:
        raise ValueError("write an address such as name@studio.example") from None
    return text


Email = Annotated[str, Field(max_length=254), AfterValidator(_sendable)]
