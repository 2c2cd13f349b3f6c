import pytest

from gear.audio.dial import Dial, Mark
from gear.audio.steps import step_from

GAIN = Dial(tuple(Mark(10 * n, 45 * n - 135) for n in range(7)))  # every 10 dB
TRIM = Dial((Mark(-6, -90), Mark(0, 0), Mark(6, 90)))
THRESHOLD_THAT_FALLS = Dial((Mark(10, -135), Mark(-20, 135)))
RATIO = Dial((Mark(2, -60, "2:1"), Mark(4, 0, "4:1"), Mark(8, 60, "8:1")), "stepped")
FREQUENCY = Dial((Mark(100, -90), Mark(1000, 0), Mark(10_000, 90)), "continuous", "log")
METER = Dial((), "reading")


@pytest.mark.parametrize(
    ("dial", "value", "lower", "higher"),
    [
        (GAIN, 35, 34, 36),
        (GAIN, 35.4, 35, 36),  # on to the next whole one
        (GAIN, 60, 59, None),
        (GAIN, 0, None, 1),
        (TRIM, 0.5, 0, 1),
        (TRIM, 0.3, 0, 0.5),
        (THRESHOLD_THAT_FALLS, 0, -2, 2),  # 30 dB between its marks
        (RATIO, 4, 2, 8),
        (RATIO, 8, 4, None),
        (FREQUENCY, 2000, 1000, 10_000),
        (METER, 3, None, None),
    ],
)
def test_step_is_what_one_says_aloud(dial, value, lower, higher):
    assert (step_from(dial, value, -1), step_from(dial, value, 1)) == (lower, higher)


def test_as_many_steps_up_as_down():
    value, seen = 0.0, []
    while value is not None:
        seen.append(value)
        value = step_from(TRIM, value, 1)

    back = [seen[-1]]
    while (lower := step_from(TRIM, back[-1], -1)) is not None and lower >= 0:
        back.append(lower)

    assert back[::-1] == seen
