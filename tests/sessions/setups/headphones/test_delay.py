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


def test_delay_adds_buffer_converters_and_the_farthest_microphone():
    """2 x 2.667 ms, 96 samples are 2 ms, 100 cm are 2.91 ms at 20 °C."""
    near = revision(stage(microphone()), stage(converter(96)), placement=Decimal(20))
    far = revision(stage(microphone()), placement=Decimal(100), chain=near.chain)

    delay = delay_of(setup_of(near, buffer_samples=128), [near, far])

    assert delay.ours.total_ms == pytest.approx(5.333 + 2 + 2.912, abs=2e-3)
    assert [round(path.ms, 2) for path in delay.air] == [0.58, 2.91]
    assert [row.samples for row in delay.rows if row.is_usual] == [64, 128, 256]


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
