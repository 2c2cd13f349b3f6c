from decimal import Decimal

import pytest

from gear.equipment.models import Category
from sessions.setups.headphones.delay import delay_of
from tests.sessions.setups.in_memory import microphone, revision, stage, unit


def converter(delay_samples=None, tag=""):
    return unit(category=Category.CONVERTER, delay_samples=delay_samples, tag=tag)


def setup_of(chain, **facts):
    setup = chain.chain.setup
    for name, value in facts.items():
        setattr(setup, name, value)
    return setup


def test_delay_adds_buffer_converters_and_the_nearest_microphone():
    """2 x 2.667 ms, 96 samples are 2 ms, 20 cm are 0.58 ms and 300 cm 8.74 ms at 20 °C."""
    near = revision(stage(microphone()), stage(converter(96)), placement=Decimal(20))
    room = revision(stage(microphone()), placement=Decimal(300), chain=near.chain)
    by_cable = revision(stage(unit()), chain=near.chain)

    delay = delay_of(setup_of(near, buffer_samples=128), [room, near, by_cable])

    assert delay.ours.total_ms == pytest.approx(5.333 + 2 + 0.582, abs=2e-3)
    assert (delay.nearest.revision, delay.farthest.revision) == (near, room)
    assert delay.farthest_later_ms == pytest.approx(8.736 - 0.582, abs=2e-3)
    assert [path.ms for path in delay.air][2] is None


def test_small_buffer_is_not_too_late_because_of_a_room_microphone():
    """32 samples at 48 kHz are 1.3 ms in and out; the room pair 3 m away is no singer's."""
    near = revision(stage(microphone()), placement=Decimal(20))
    room = revision(stage(microphone()), placement=Decimal(300), chain=near.chain)

    delay = delay_of(setup_of(near, buffer_samples=32), [near, room])

    assert (delay.ours.verdict.severity, delay.ours.verdict.brief) == ("ok", "unnoticed by most")


def test_one_microphone_is_not_the_farthest_too_and_none_is_not_counted():
    one, none = revision(stage(microphone()), placement=Decimal(20)), revision()

    assert delay_of(setup_of(one), [one]).farthest is None
    delay = delay_of(setup_of(none, buffer_samples=48), [none])
    assert (delay.nearest, delay.farthest, delay.farthest_later_ms) == (None, None, None)
    assert delay.ours.total_ms == pytest.approx(2)


def test_converter_delay_that_was_written_down_goes_before_its_makers():
    chain = revision(stage(converter(96)))

    delay = delay_of(setup_of(chain, converter_samples=48), [chain])

    assert (delay.converter_ms, delay.converter_basis) == (1, "as logged for this setup")


def test_slowest_converter_counts_and_an_unknown_one_is_said():
    slow, quick = revision(stage(converter(96, tag="A-2"))), revision(stage(converter(40)))
    unknown = revision(stage(converter()))

    assert delay_of(setup_of(slow), [slow, quick]).converter_samples == 96
    assert "A-2" in delay_of(setup_of(slow), [slow, quick]).converter_basis
    assert delay_of(setup_of(unknown), [unknown]).converter_basis == "not known, so not counted"


def test_buffer_of_an_odd_size_has_a_row_of_its_own():
    chain = revision()

    delay = delay_of(setup_of(chain, buffer_samples=100), [chain])

    assert delay.ours.samples == 100
    assert delay_of(setup_of(chain, buffer_samples=None), [chain]).ours is None


@pytest.mark.parametrize(("limit", "largest"), [(12, 256), (6, 128), (1, None)])
def test_largest_buffer_under_a_limit(limit, largest):
    chain = revision()

    assert delay_of(setup_of(chain), [chain]).largest_under(limit) == largest
