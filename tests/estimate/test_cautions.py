"""The cautions of a panel, word for word: each by its condition, and by nothing else."""

from dataclasses import FrozenInstanceError, replace
from itertools import product

import pytest

from studio.estimate.cautions import CAUTIONS, cautions_for
from studio.estimate.example import example_question
from tests.estimate.said import ALWAYS, WALL

BRIEF = example_question().brief
INDOORS = replace(
    BRIEF.space,
    mounting="wall",
    above_people=False,
    near_heat=False,
    public_room=False,
    indoors=True,
)
UNLIT = replace(BRIEF.design, lit=False)


def test_an_unlit_panel_on_a_wall_indoors_has_these_and_no_more():
    assert cautions_for(UNLIT, INDOORS) == (WALL, *ALWAYS)


@pytest.mark.parametrize(
    ("changes", "at", "says"),
    [
        (
            {"above_people": True},
            1,
            "Above seats, beds or a way through, a licensed installer fixes the panel.",
        ),
        (
            {"near_heat": True},
            3,
            "This space has a heat source near: another material or another place is needed before we make a "
            "PLA panel.",
        ),
        (
            {"public_room": True},
            4,
            "Rooms open to the public may require a tested reaction-to-fire class and may limit how much of "
            "a wall is covered (EN 13501-1 and local fire codes; the International Fire Code of 2012, "
            "807.1.2, "
            "allows combustible decoration on at most 10 % of a wall, after a fire test): ask the authority "
            "before approving.",
        ),
        (
            {"indoors": False},
            4,
            "Outdoors, wind on a trellis or screen is judged locally, and sun and heat age PLA quickly.",
        ),
    ],
)
def test_what_is_true_of_the_space_adds_its_words_in_their_place(changes, at, says):
    usual = [WALL, *ALWAYS]
    usual.insert(at, says)
    assert cautions_for(UNLIT, replace(INDOORS, **changes)) == tuple(usual)


def test_a_light_adds_mains():
    says = (
        "Mains work is done by a licensed electrician. The low-voltage supply must be certified for its "
        "market, stay within reach and have air round it; no light strip lies against unventilated plastic."
    )
    assert cautions_for(replace(UNLIT, lit=True), INDOORS) == (WALL, ALWAYS[0], says, *ALWAYS[1:])


def test_what_does_not_hang_on_a_wall_has_words_of_its_own_instead():
    standing, framed = (
        cautions_for(UNLIT, replace(INDOORS, mounting=mounting))
        for mounting in ("free-standing", "in a frame")
    )
    blown = (
        "A free-standing panel can be pulled or blown over: it needs feet made for its height, and is tied "
        "where children are."
    )
    glass = "Glass breaks: near floors and doors local codes ask for safety glass."
    assert standing == (blown, *ALWAYS)
    assert framed == (*ALWAYS[:3], glass, *ALWAYS[3:])


@pytest.mark.parametrize(
    ("asked", "at", "known", "says"),
    [
        (
            "above_people", 1, False,
            "It is not known yet whether the panel comes above seats, beds or a way through: there, a "
            "licensed installer fixes it.",
        ),
        (
            "near_heat", 3, False,
            "It is not known yet whether this space has a heat source near: with one, another material or "
            "another place is needed before we make a PLA panel.",
        ),
        (
            "public_room", 4, False,
            "It is not known yet whether this room is open to the public. Such rooms may require a tested "
            "reaction-to-fire class and may limit how much of a wall is covered (EN 13501-1 and local fire "
            "codes; the International Fire Code of 2012, 807.1.2, allows combustible decoration on at "
            "most 10 % "
            "of a wall, after a fire test): ask the authority before approving.",
        ),
        (
            "indoors", 4, True,
            "It is not known yet whether the panel comes outdoors: there, wind on a trellis or screen is "
            "judged locally, and sun and heat age PLA quickly.",
        ),
    ],
)  # fmt: skip
def test_what_nobody_asked_is_said_to_be_unknown_and_hides_nothing(asked, at, known, says):
    usual = [WALL, *ALWAYS]
    usual.insert(at, says)
    assert cautions_for(UNLIT, replace(INDOORS, **{asked: None})) == tuple(usual)
    assert cautions_for(UNLIT, replace(INDOORS, **{asked: known})) == (WALL, *ALWAYS)


KNOWN = {True: "yes", False: "no", None: "unknown"}
RULES = {
    "always": lambda lit, mounting, **asked: True,
    "lit": lambda lit, mounting, **asked: lit,
    "on a wall": lambda lit, mounting, **asked: mounting == "wall",
    "free-standing": lambda lit, mounting, **asked: mounting == "free-standing",
    "in a frame": lambda lit, mounting, **asked: mounting == "in a frame",
    "above people": lambda lit, mounting, **asked: KNOWN[asked["above_people"]] == "yes",
    "not known whether above people": lambda lit, mounting, **asked: (
        KNOWN[asked["above_people"]] == "unknown"
    ),
    "near heat": lambda lit, mounting, **asked: KNOWN[asked["near_heat"]] == "yes",
    "not known whether near heat": lambda lit, mounting, **asked: KNOWN[asked["near_heat"]] == "unknown",
    "in a room open to the public": lambda lit, mounting, **asked: KNOWN[asked["public_room"]] == "yes",
    "not known whether open to the public": (
        lambda lit, mounting, **asked: KNOWN[asked["public_room"]] == "unknown"
    ),
    "outdoors": lambda lit, mounting, **asked: KNOWN[asked["indoors"]] == "no",
    "not known whether outdoors": lambda lit, mounting, **asked: KNOWN[asked["indoors"]] == "unknown",
}
"""What the table says in words, put as rules anew."""
ASKED = ("above_people", "near_heat", "public_room", "indoors")


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda caution: caution.text[:40])
def test_each_row_applies_when_its_words_say(caution):
    """In every answer about a space, with every mounting, lit or not."""
    rule, seen = RULES[caution.when], set()
    for *answers, mounting, lit in product(
        *[KNOWN] * 4, ("wall", "free-standing", "in a frame"), (True, False)
    ):
        asked = dict(zip(ASKED, answers, strict=True))
        found = caution.text in cautions_for(
            replace(UNLIT, lit=lit), replace(INDOORS, mounting=mounting, **asked)
        )
        assert found == rule(lit, mounting, **asked)
        seen.add(found)
    assert seen == ({True} if caution.when == "always" else {True, False})


def test_rows_say_where_they_come_from_and_cannot_be_changed():
    assert all(caution.source and caution.text.endswith(".") for caution in CAUTIONS)
    assert len({caution.text for caution in CAUTIONS}) == len(CAUTIONS)
    with pytest.raises(FrozenInstanceError):
        CAUTIONS[0].text = "nothing"
