"""The pieces of a row as they lie on the bed."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from studio.lattice.face import Face
from studio.making.packing import PartRun, turning

__all__ = ["placed"]


def placed(run: PartRun, face: Face) -> Iterator[list[NDArray[np.float64]]]:
    """For each piece of a run its rings (k, 2), outer one first, mm from the lower left corner of the usable
    bed, y up. Holes that are counted have no place and are left out."""
    rings = sorted((ring for ring in face.rings if ring.count == 1), key=lambda ring: ring.hole)
    facing = []
    for degrees in (run.lie.turn_degrees, run.lie.turn_degrees + 180):
        turned = [ring.points @ turning(degrees) for ring in rings]
        corner = turned[0].min(axis=0)
        facing.append([points - corner for points in turned])
    for index, corner_mm in enumerate(run.corners_mm()):
        yield [points + corner_mm for points in facing[index % 2]]
