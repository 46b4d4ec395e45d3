"""The cautions that go with a panel. Texts may be added by a studio, none can be switched off.

They are the usual cautions of the trades involved and defer to local codes and licensed practice: common
practice, no source, except where a line names one. Where nobody has said yet whether one applies, it says
that much and what follows if it does: nothing is claimed that nobody knows, and nothing is hidden.
"""

from studio.lattice.design import Design, Space

__all__ = ["cautions_for"]

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
    "wall is covered (EN 13501-1 and local fire codes): ask the authority before approving."
)
PERHAPS_PUBLIC = (
    "It is not known yet whether this room is open to the public. Such rooms may require a tested "
    "reaction-to-fire class and may limit how much of a wall is covered (EN 13501-1 and local fire codes): "
    "ask the authority before approving."
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


def cautions_for(design: Design, space: Space) -> tuple[str, ...]:
    """The texts that apply, in the order in which they are shown; the first and last ones always apply."""
    chosen = (
        (space.mounting == "wall", WALL),
        (space.above_people, ABOVE_PEOPLE),
        (space.above_people is None, PERHAPS_ABOVE),
        (space.mounting == "free-standing", FREE_STANDING),
        (True, NO_LOAD),
        (design.lit, MAINS),
        (True, SOFTENS),
        (space.near_heat, HEAT_NEAR),
        (space.near_heat is None, PERHAPS_HEAT),
        (True, BURNS),
        (space.public_room, PUBLIC),
        (space.public_room is None, PERHAPS_PUBLIC),
        (space.indoors is False, OUTDOORS),
        (space.indoors is None, PERHAPS_OUTDOORS),
        (space.mounting == "in a frame", GLASS),
        (True, MAGNETS),
        (True, WORKSHOP),
        (True, CODES),
    )
    return tuple(text for applies, text in chosen if applies)
