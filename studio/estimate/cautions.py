"""The cautions that go with a panel: a table of rules, which a person reads in the workshop. Texts may be
added by a studio (its terms come after them), none can be switched off.

They are the usual cautions of the trades involved and defer to local codes and licensed practice. Where
nobody has said yet whether one applies, it says that much and what follows if it does: nothing is claimed
that nobody knows, and nothing is hidden."""

from collections.abc import Callable
from dataclasses import dataclass

from studio.lattice.design import Design, Space

__all__ = ["CAUTIONS", "Caution", "cautions_for"]

PRACTICE = "common practice, no source"

WALL = (
    "The wall and its fixings are the installer's to judge: look for hidden cables and pipes before "
    "drilling, and never go over the fixing maker's rated load. We state the load to be held; nobody can "
    "state from a drawing what a wall holds."
)
ABOVE_PEOPLE = "Above seats, beds or a way through, a licensed installer fixes the panel."
PERHAPS_ABOVE = (
    "It is not known yet whether the panel comes above seats, beds or a way through: there, a licensed "
    "installer fixes it."
)
FREE_STANDING = (
    "A free-standing panel can be pulled or blown over: it needs feet made for its height, and is tied "
    "where children are."
)
NO_LOAD = "The panel is not a guard, not a ladder and carries no load."
MAINS = (
    "Mains work is done by a licensed electrician. The low-voltage supply must be certified for its "
    "market, stay within reach and have air round it; no light strip lies against unventilated plastic."
)
SOFTENS = (
    "PLA softens at about 60 °C (makers' data sheets give a glass transition of 55 to 60 °C): not near "
    "heaters or stoves, not in hot glazing, not in a parked car."
)
HEAT_NEAR = (
    "This space has a heat source near: another material or another place is needed before we make a PLA "
    "panel."
)
PERHAPS_HEAT = (
    "It is not known yet whether this space has a heat source near: with one, another material or another "
    "place is needed before we make a PLA panel."
)
BURNS = "Printed plastic burns. No reaction-to-fire class is claimed for it."
PUBLIC = (
    "Rooms open to the public may require a tested reaction-to-fire class and may limit how much of a "
    "wall is covered (EN 13501-1 and local fire codes; the International Fire Code of 2012, 807.1.2, allows "
    "combustible decoration on at most 10 % of a wall, after a fire test): ask the authority before "
    "approving."
)
PERHAPS_PUBLIC = f"It is not known yet whether this room is open to the public. {PUBLIC}".replace(
    "Rooms open to the public", "Such rooms"
)
OUTDOORS = "Outdoors, wind on a trellis or screen is judged locally, and sun and heat age PLA quickly."
PERHAPS_OUTDOORS = (
    "It is not known yet whether the panel comes outdoors: there, wind on a trellis or screen is judged "
    "locally, and sun and heat age PLA quickly."
)
GLASS = "Glass breaks: near floors and doors local codes ask for safety glass."
MAGNETS = (
    "Where magnets hold a part, a loose magnet is dangerous if swallowed: look for missing ones and keep "
    "them from children."
)
WORKSHOP = "Ventilate while printing, and while gluing a loose piece."
CODES = "Nothing here replaces local codes or licensed practice."


@dataclass(frozen=True, slots=True)
class Caution:
    """A rule: `text` is shown where it `applies`, which is `when` in plain words; `source` is where it comes
    from."""

    when: str
    applies: Callable[[Design, Space], bool]
    text: str
    source: str = PRACTICE


def _always(_design: Design, _space: Space) -> bool:
    return True


CAUTIONS = (
    Caution("on a wall", lambda _design, space: space.mounting == "wall", WALL),
    Caution("above people", lambda _design, space: bool(space.above_people), ABOVE_PEOPLE),
    Caution(
        "not known whether above people", lambda _design, space: space.above_people is None, PERHAPS_ABOVE
    ),
    Caution("free-standing", lambda _design, space: space.mounting == "free-standing", FREE_STANDING),
    Caution("always", _always, NO_LOAD),
    Caution("lit", lambda design, _space: design.lit, MAINS),
    Caution("always", _always, SOFTENS, "makers' data sheets of PLA: glass transition 55 to 60 °C"),
    Caution("near heat", lambda _design, space: bool(space.near_heat), HEAT_NEAR),
    Caution("not known whether near heat", lambda _design, space: space.near_heat is None, PERHAPS_HEAT),
    Caution("always", _always, BURNS, "EN 13501-1: what was not tested has no class"),
    Caution(
        "in a room open to the public",
        lambda _design, space: bool(space.public_room),
        PUBLIC,
        "EN 13501-1; International Fire Code 2012, 807.1.2",
    ),
    Caution(
        "not known whether open to the public",
        lambda _design, space: space.public_room is None,
        PERHAPS_PUBLIC,
        "EN 13501-1; International Fire Code 2012, 807.1.2",
    ),
    Caution("outdoors", lambda _design, space: space.indoors is False, OUTDOORS),
    Caution("not known whether outdoors", lambda _design, space: space.indoors is None, PERHAPS_OUTDOORS),
    Caution(
        "in a frame",
        lambda _design, space: space.mounting == "in a frame",
        GLASS,
        "Approved Document K and BS 6262-4, of the United Kingdom (from memory)",
    ),
    Caution("always", _always, MAGNETS, "16 CFR 1262 (87 FR 57756), of the United States, on loose magnets"),
    Caution("always", _always, WORKSHOP, "NIOSH, Approaches to Safe 3D Printing (2023)"),
    Caution("always", _always, CODES),
)
"""In the order in which they are shown."""


def cautions_for(design: Design, space: Space) -> tuple[str, ...]:
    """The texts that apply; the first and last ones always apply."""
    return tuple(caution.text for caution in CAUTIONS if caution.applies(design, space))
