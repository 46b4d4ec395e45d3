from studio.drawing.legend import Entry, legend
from tests.drawing.panels import COLOURS, panel


def test_counts_by_hand() -> None:
    """8 x 6 squares with a border of one: 24 inside, 24 in the border."""
    composed = panel("square", 8, 6, 50, border=1)
    assert legend(composed, COLOURS) == (
        Entry("star", "Star", "Indigo", "#234a6b", 24),
        Entry("star", "Star", "Tea", "#b08d57", 24),
    )


def test_open_cells_are_no_entry() -> None:
    assert legend(panel(every_nth_open=1), COLOURS) == ()
    assert sum(entry.count for entry in legend(panel("square", 8, 6, 50, every_nth_open=4), COLOURS)) == 36
