"""Keys along seams: small double dovetails let into the back, where strips cross the seam."""

from collections.abc import Sequence

from shapely import Polygon

from studio.lattice.design import Design
from studio.lattice.face import face_of_polygon
from studio.lattice.part import Part, spares_for
from studio.lattice.sections import Seam

__all__ = ["KEY_DEPTH_MM", "KEY_END_MM", "KEY_LENGTH_MM", "KEY_WAIST_MM", "key_parts"]

KEY_LENGTH_MM, KEY_END_MM, KEY_WAIST_MM, KEY_DEPTH_MM = 12.0, 2.4, 1.6, 3.0
"""Size of a key: common practice, no source. The ends are narrower than a strip of 3.2 mm, which they lie in.
"""


def key_parts(design: Design, seams: Sequence[Seam], spares_percent: float) -> tuple[Part, ...]:
    """The keys of all seams; none for a lattice in one section."""
    count = sum(seam.keys for seam in seams)
    if not count:
        return ()
    part = Part(
        code="key",
        pattern="",
        size=f"{KEY_LENGTH_MM:g} × {KEY_END_MM:g} mm",
        filament=design.lattice_filament,
        face=face_of_polygon(_outline()),
        depth_mm=min(KEY_DEPTH_MM, float(design.depth_mm)),
        count=count,
        spares=spares_for(count, spares_percent),
        nests="box",
    )
    return (part,)


def _outline() -> Polygon:
    along, end, waist = KEY_LENGTH_MM / 2, KEY_END_MM / 2, KEY_WAIST_MM / 2
    return Polygon([(-along, -end), (0, -waist), (along, -end), (along, end), (0, waist), (-along, end)])
