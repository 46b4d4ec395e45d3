"""Example recipes for materials that print slower or hotter than PLA.

Common practice, no source: a studio measures its own.
"""

from studio.making.equipment import OwnRecipe, Recipe

__all__ = ["example_recipes"]


def example_recipes() -> tuple[OwnRecipe, ...]:
    """PETG strings and wants to be laid slowly and hot; ASA wants a hot bed and time to cool; TPU bends in
    the feed and melts slowly."""
    petg = Recipe(
        outer_wall_mm_s=50,
        inner_wall_mm_s=80,
        fill_mm_s=100,
        first_layer_mm_s=30,
        max_flow_mm3_s=9,
        min_layer_s=10,
        retraction_s=0.4,
        nozzle_c=240,
        bed_c=80,
    )
    asa = Recipe(
        outer_wall_mm_s=60, inner_wall_mm_s=100, fill_mm_s=120, min_layer_s=12, nozzle_c=255, bed_c=100
    )
    tpu = Recipe(
        outer_wall_mm_s=25,
        inner_wall_mm_s=30,
        fill_mm_s=35,
        first_layer_mm_s=20,
        acceleration_mm_s2=1500,
        max_flow_mm3_s=3,
        retraction_s=0.6,
        nozzle_c=225,
        bed_c=45,
    )
    return tuple(
        OwnRecipe(of=name, recipe=recipe) for name, recipe in (("PETG", petg), ("ASA", asa), ("TPU", tpu))
    )
