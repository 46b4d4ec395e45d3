"""The words of cautions, written out: what the code says is compared with these. Spaces that were
said or taped."""

__all__ = ["ALWAYS", "SAID", "TAPED", "WALL"]

SAID = {"width_origin": "said", "height_origin": "said"}
TAPED = {"width_origin": "taped by us", "height_origin": "taped by us"}

WALL = (
    "The wall and its fixings are the installer's to judge: look for hidden cables and pipes before "
    "drilling, and never go over the fixing maker's rated load. We state the load to be held; nobody can "
    "state from a drawing what a wall holds."
)
ALWAYS = (
    "The panel is not a guard, not a ladder and carries no load.",
    "PLA softens at about 60 °C (makers' data sheets give a glass transition of 55 to 60 °C): not near "
    "heaters or stoves, not in hot glazing, not in a parked car.",
    "Printed plastic burns. No reaction-to-fire class is claimed for it.",
    "Where magnets hold a part, a loose magnet is dangerous if swallowed: look for missing ones and keep "
    "them from children.",
    "Ventilate while printing, and while gluing a loose piece.",
    "Nothing here replaces local codes or licensed practice.",
)
