"""The measuring itself; never how long anything took."""

import pytest

from tests.measure.timing import Ratio, interleaved


def test_interleaved_takes_turns():
    done = []

    times = interleaved({"a": lambda: done.append("a"), "b": lambda: done.append("b")}, 3)

    assert done == ["a", "b", "b", "a", "a", "b"]
    assert [len(seconds) for seconds in times.values()] == [3, 3]
    assert min(times["a"] + times["b"]) > 0


@pytest.mark.parametrize(
    ("seconds", "goal", "met", "ends"),
    [
        ([0.001, 0.003, 0.009], 1.5, True, "3.00 ms / 2.00 ms =   1.50  at most 1.5: pass"),
        ([0.004], 1.5, False, "4.00 ms / 2.00 ms =   2.00  at most 1.5: FAIL"),
        ([0.004], None, True, "4.00 ms / 2.00 ms =   2.00"),
    ],
)
def test_ratio_holds_medians_against_the_goal(seconds, goal, met, ends):
    ratio = Ratio.of({"check": seconds, "bare SQL": [0.002]}, "check", "bare SQL", goal, "1 room")

    assert ratio.met == met
    assert str(ratio).startswith("check / bare SQL, 1 room  ")
    assert str(ratio).endswith(ends)
