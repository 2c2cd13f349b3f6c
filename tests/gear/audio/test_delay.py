import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.delay import (
    BUFFER_SIZES,
    air_path_ms,
    buffer_verdict,
    headphone_delay_ms,
    largest_buffer_under,
    samples_to_ms,
)

rates = st.sampled_from([44100, 48000, 88200, 96000, 192000])


#: 2 ms of buffers; the rest of the delay comes from converters, at 48 samples a ms.
USUAL = 48


@pytest.mark.parametrize(
    ("delay", "severity", "brief", "sentence"),
    [
        (2, "ok", "unnoticed by most", "2.0 ms in the headphones goes unnoticed"),
        (3, "ok", "unnoticed by most", "goes unnoticed"),
        (3.1, "note", "may colour the voice", "may colour the singer’s own voice"),
        (6, "note", "may colour the voice", "may colour"),
        (6.1, "note", "workable for many", "is workable for many singers"),
        (12, "note", "workable for many", "is workable for many singers"),
        (12.1, "caution", "drags many singers", "drags many singers behind"),
        (30, "caution", "drags many singers", "drags many singers behind"),
        (30.1, "warning", "heard as an echo", "is heard as an echo by a singer. Use a smaller"),
    ],
)
def test_verdict_on_a_usual_buffer_by_band(delay, severity, brief, sentence):
    verdict = buffer_verdict(USUAL, 48_000, round((delay - 2) * 48, 6))

    assert (verdict.severity, verdict.basis) == (severity, "common practice")
    assert brief in verdict.brief
    assert sentence in verdict.sentence


@pytest.mark.parametrize(
    ("samples", "severity", "brief"),
    [
        (256, "note", "workable for many"),
        (288, "caution", "second sound"),
        (300, "warning", "drags"),
        (1024, "warning", "echo"),
    ],
)
def test_verdict_on_a_larger_buffer_is_graver_at_the_same_ms(samples, severity, brief):
    """Common practice, no source, at 48 kHz: sessions run at up to 256 samples, 10.7 ms."""
    verdict = buffer_verdict(samples, 48_000)

    assert verdict.severity == severity
    assert brief in verdict.brief


GRAVITY = ("ok", "note", "caution", "warning")


@given(
    rates,
    st.integers(0, 2000),
    st.floats(0, 20),
    st.lists(st.integers(1, 4096), min_size=2, unique=True),
)
def test_larger_buffer_is_never_called_better(rate, converter, distance, sizes):
    verdicts = [buffer_verdict(size, rate, converter, distance) for size in sorted(sizes)]

    gravity = [GRAVITY.index(verdict.severity) for verdict in verdicts]
    assert gravity == sorted(gravity)


@given(rates, st.integers(0, 2000), st.floats(0, 20), st.integers(1, 4096))
def test_verdict_says_one_thing_only(rate, converter, distance, size):
    """Not workable and too late at once, whatever the figures."""
    verdict = buffer_verdict(size, rate, converter, distance)

    for said in (verdict.sentence, verdict.brief):
        is_workable = "workable" in said or "unnoticed" in said
        assert is_workable != any(word in said for word in ("drags", "echo", "may be heard"))
        assert is_workable == (verdict.severity in ("ok", "note"))


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
    ("samples", "rate", "ms"),
    [(32, 44100, 0.7256), (64, 96000, 0.6667), (256, 48000, 5.3333), (1024, 48000, 21.3333)],
)
def test_samples_in_ms(samples, rate, ms):
    """A self-check: samples over samples a second."""
    assert samples_to_ms(samples, rate) == pytest.approx(ms, abs=6e-5)
