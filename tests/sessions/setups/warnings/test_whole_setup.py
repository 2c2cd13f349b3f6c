"""Each rule where it speaks and where it keeps still. What they rest on is said in each test;
the numbers are common practice, no source, unless a standard is named."""

import pytest

from sessions.setups.warnings.whole_setup import (
    buffer_too_large,
    buffer_verdict,
    headphones_too_loud,
    rate_differs,
)
from tests.factories import (
    HeadphoneMixFactory,
    SetupFactory,
)
from tests.sessions.setups.building import (
    said,
)

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("samples", "severities"),
    [(64, []), (128, ["note"]), (256, ["note"]), (1024, ["warning"]), (None, [])],
)
def test_buffer_at_48_khz(samples, severities):
    """Common practice, no source: 1024 samples are heard as an echo, 64 to 256 are worked with."""
    setup = SetupFactory(buffer_samples=samples, session__project__sample_rate=48_000)

    assert said(buffer_too_large(setup, [])) == severities


def test_buffer_of_1024_samples_is_an_echo():
    """42.7 ms: 2 x 21.3333 ms, the tabled delay of 1024 samples at 48 kHz."""
    verdict = buffer_verdict(
        SetupFactory(buffer_samples=1024, session__project__sample_rate=48_000), []
    )

    assert verdict.sentence.startswith("42.7 ms in the headphones is heard as an echo")


def test_buffer_counts_at_the_sample_rate_of_the_project():
    at_48 = SetupFactory(buffer_samples=128, session__project__sample_rate=48_000)
    at_96 = SetupFactory(buffer_samples=128, session__project__sample_rate=96_000)

    assert said(buffer_too_large(at_48, [])) == ["note"]
    assert said(buffer_too_large(at_96, [])) == []


@pytest.mark.parametrize(
    ("level", "minutes", "severities"),
    [
        (85, 480, ["caution"]),
        (85, 481, ["warning"]),
        (94, 60, ["caution"]),
        (94, 20, []),
        (None, 60, []),
        (100, None, []),
    ],
)
def test_headphones_against_a_days_allowance(level, minutes, severities):
    """NIOSH 98-126 (1998): 85 dBA for 8 h, half the time for every 3 dB more."""
    mix = HeadphoneMixFactory(level_dba=level, minutes_a_day=minutes)

    warnings = list(headphones_too_loud(mix.setup))

    assert said(warnings) == severities
    assert all(warning.is_safety for warning in warnings)
    assert all("NIOSH 98-126" in warning.reason for warning in warnings)


@pytest.mark.parametrize(
    ("seen", "severities"), [(48_000, []), (None, []), (44_100, ["warning"]), (96_000, ["warning"])]
)
def test_converter_that_shows_another_rate_than_the_project(seen, severities):
    """Common practice, no source: what is recorded at 44.1 kHz and played at 48 kHz is sharp."""
    setup = SetupFactory(rate_seen_hz=seen, session__project__sample_rate=48_000)

    assert said(rate_differs(setup)) == severities
