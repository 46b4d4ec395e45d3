"""Photographs of a space, kept as they were taken in."""

from studio.clients.models import Photograph, Space
from studio.clients.picture import take_in
from studio.people.models import User

__all__ = ["keep_photograph"]


def keep_photograph(space: Space, data: bytes, by: User | None) -> Photograph:
    """`data` is a file as it was sent. Raises Refused with the field "photograph"."""
    picture = take_in(data)
    return Photograph.objects.create(
        space=space,
        image=picture.image,
        sha256=picture.sha256,
        width_px=picture.width_px,
        height_px=picture.height_px,
        by=by,
    )
