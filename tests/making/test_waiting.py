"""Which plates wait: against plain sets, and how much of memory each question touches."""

import numpy as np
import pytest

from studio.making.waiting import Waiting

COURSES = np.arange(3)


@pytest.mark.parametrize("count", [1, 63, 64, 65, 4031, 4032, 4033, 4096, 64**2 * 3])
def test_as_plain_sets_have_it(count: int) -> None:
    luck = np.random.default_rng(count)
    waiting, sets = Waiting(3, count), [set(range(count)) for _ in COURSES]
    runs = luck.integers(0, count, 40)
    for step, first in enumerate(runs.tolist()):
        course = np.array([step % 3])
        for number in range(first, min(count, first + int(luck.integers(1, 900)))):
            back = step % 4 == 3
            if (number in sets[step % 3]) != back:
                (waiting.add if back else waiting.remove)(course, np.array([number]))
                (sets[step % 3].add if back else sets[step % 3].discard)(number)
        asked = luck.choice([0, first, count, int(luck.integers(0, count))], 3)
        found = waiting.first_from(COURSES, asked)
        for have, least, number in zip(sets, asked.tolist(), found.tolist(), strict=True):
            assert number == min((one for one in have if one >= least), default=count)


@pytest.mark.parametrize(("count", "levels"), [(50, 1), (1_000, 2), (4_000, 2), (200_000, 3)])
def test_one_more_level_for_64_times_as_many(count: int, levels: int) -> None:
    waiting = Waiting(1, count)
    assert len(waiting.levels) == levels
    assert sum(words.size for words in waiting.levels) < count / 60 + levels + 1
