import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.delay import (
    BUFFER_SIZES,
    TRACKING_BUFFERS,
    air_path_ms,
    buffer_verdict,
    headphone_delay_ms,
    headphone_delay_verdict,
    largest_buffer_under,
    samples_to_ms,
)

rates = st.sampled_from([44100, 48000, 88200, 96000, 192000])


@pytest.mark.parametrize(
    ("delay", "severity", "sentence"),
    [
        (0, "ok", "0.0 ms in the headphones goes unnoticed"),
        (3, "ok", "goes unnoticed"),
        (3.1, "note", "may colour the singer’s own voice"),
        (6, "note", "may colour"),
        (6.1, "caution", "may hear it as a separate sound"),
        (12, "caution", "separate sound"),
        (12.1, "warning", "drags a singer behind. Use a smaller buffer"),
        (30, "warning", "drags"),
        (30.1, "warning", "is heard as an echo by a singer. Use a smaller buffer"),
    ],
)
def test_headphone_delay_verdict_by_band(delay, severity, sentence):
    verdict = headphone_delay_verdict(delay)

    assert verdict.severity == severity
    assert sentence in verdict.sentence
    assert verdict.basis == "common practice"


@pytest.mark.parametrize("rate", [44100, 48000])
def test_buffer_of_1024_is_heard_as_an_echo_and_tracking_buffers_are_not(rate):
    """Common practice, no source: 64 to 256 samples are what sessions run at."""
    assert "as an echo" in headphone_delay_verdict(headphone_delay_ms(1024, rate)).sentence
    for buffer in TRACKING_BUFFERS:
        verdict = headphone_delay_verdict(headphone_delay_ms(buffer, rate))
        assert "workable" in verdict.sentence or verdict.severity == "ok"


def test_headphone_delay_adds_buffers_converters_and_air():
    assert headphone_delay_ms(128, 48000, 96, 0.3) == pytest.approx(
        2 * 2.6667 + 2.0 + 0.8736, abs=1e-3
    )


@pytest.mark.parametrize(
    ("limit", "rate", "converter", "size"),
    [(10, 48000, 0, 128), (10.67, 48000, 0, 256), (10.66, 48000, 0, 128), (1, 48000, 0, None),
     (6, 48000, 64, 64), (1000, 44100, 0, 2048), (2.7, 48000, 200, None)],
)  # fmt: skip
def test_largest_buffer_keeps_to_the_limit(limit, rate, converter, size):
    assert largest_buffer_under(limit, rate, converter) == size


def test_largest_buffer_at_exactly_the_limit_keeps_to_it():
    assert largest_buffer_under(headphone_delay_ms(256, 48000), 48000) == 256


@given(st.floats(min_value=0, max_value=100), rates, st.integers(0, 500), st.floats(0, 3))
def test_next_larger_buffer_would_be_too_late(limit, rate, converter, distance):
    size = largest_buffer_under(limit, rate, converter, distance)

    if size is not None:
        assert headphone_delay_ms(size, rate, converter, distance) <= limit
    for larger in BUFFER_SIZES:
        if size is None or larger > size:
            assert headphone_delay_ms(larger, rate, converter, distance) > limit


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: samples_to_ms(64, 0), "sample rate is above zero"),
        (lambda: samples_to_ms(-1, 48000), "cannot be negative"),
        (lambda: headphone_delay_ms(-64, 48000, 500), "cannot be negative"),
        (lambda: air_path_ms(-1), "A distance cannot be negative."),
    ],
)
def test_delay_refuses_impossible_numbers(ask, sentence):
    with pytest.raises(ValueError, match=sentence):
        ask()


@pytest.mark.parametrize(
    ("samples", "severity", "said"),
    [
        (64, "ok", "goes unnoticed"),
        (128, "note", "may colour"),
        (256, "note", "what sessions commonly track at (64 to 256 samples)"),
        (300, "warning", "drags a singer behind"),
        (288, "caution", "may hear it as a separate sound"),
    ],
)
def test_buffer_that_sessions_track_at_is_no_caution_by_its_ms_alone(samples, severity, said):
    """Common practice, no source, at 48 kHz: 256 samples are 10.7 ms in and out."""
    verdict = buffer_verdict(samples, 48_000)

    assert verdict.severity == severity
    assert said in verdict.sentence


@pytest.mark.parametrize(("converters", "severity"), [(96, "caution"), (900, "warning")])
def test_usual_buffer_behind_slow_converters_is_still_looked_at(converters, severity):
    """At 44.1 kHz 256 samples are 11.6 ms: 13.8 ms in all, or an echo of 32 ms."""
    assert buffer_verdict(256, 44_100, converters).severity == severity
