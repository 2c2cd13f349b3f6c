"""Attack and release of gains that are known at every sample.

level      ________        ________
____------|        |------|        |------      carrier, burst, pause
gain ------.        .------.
            `______/        `______/
"""

import math

import numpy as np
import pytest
from scipy import signal

from gear.audio.proving.bursts import SHARE, release_faults, timings, why_untold
from gear.audio.proving.plan import BURST_S, REST_DB, Plan
from gear.audio.proving.result import Timing
from gear.audio.proving.signal import section_at

RATE_HZ = 48_000


def since_jumps(plan: Plan, at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Whether a burst sounds, and how long ago that changed."""
    since = (at - BURST_S) % (BURST_S + plan.pause_s)
    sounds = (at >= BURST_S) & (since < BURST_S)
    return sounds, np.where(sounds, since, since - BURST_S)


def returned(plan: Plan, number: int, gain_db, late_s: float = 0.0, noise_db: float = -75.0):
    """The bursts of one frequency with a gain that is a function of time, so much late, with noise
    against the ceiling."""
    section = plan.of("bursts")[number]
    at = np.arange(round(section.length_s * RATE_HZ)) / RATE_HZ - late_s
    ceiling = 10 ** (plan.ceiling_dbfs / 20)
    sound = ceiling * section_at(plan, section, at) * 10 ** (gain_db(plan, at) / 20)
    chance = np.random.default_rng(1).standard_normal(at.size)
    return section, sound + ceiling * 10 ** (noise_db / 20) / math.sqrt(2) * chance


def smoothed_gain(attack_s: float, release_s: float, way_db: float):
    """In decibels, as Giannoulis et al. recommend."""

    def gain_db(plan, at):
        sounds, since = since_jumps(plan, at)
        falling = -way_db * (1 - np.exp(-since / attack_s))
        rising = -way_db * np.exp(-since / release_s)
        rising = np.where(at < BURST_S, 0, rising)
        return np.where(sounds, falling, rising)

    return gain_db


def read(plan, number, gain_db, **facts):
    section, sound = returned(plan, number, gain_db, **facts)
    return timings(plan, section, sound, RATE_HZ)


@pytest.mark.parametrize("number", [0, 1])
@pytest.mark.parametrize(
    ("attack_ms", "release_ms"), [(1, 50), (3, 800), (10, 200), (50, 120), (20, 1800)]
)
def test_times_of_a_gain_that_is_smoothed_in_decibels(number, attack_ms, release_ms):
    """Attack within 15 %, release within 5 %, at 1 and at 5 kHz; 1 ms is one period of 1 kHz, which tells
    nothing."""
    plan = Plan(RATE_HZ, -6.0, release_ms / 1000)
    found = read(plan, number, smoothed_gain(attack_ms / 1000, release_ms / 1000, 12.0))
    assert found.hertz == (1000, 5000)[number]
    if attack_ms == 1 and found.hertz == 1000:
        assert found.attack_ms is None
    else:
        assert found.attack_ms == pytest.approx(attack_ms, rel=0.15)
    assert found.release_ms == pytest.approx(release_ms, rel=0.05)


def test_times_of_an_envelope_that_is_smoothed_itself():
    """A limiter 20 dB into the burst whose detector smooths the envelope: the gain follows its logarithm.
    Up, it is over 63 % of the way when the envelope is 36.8 % of 20 dB below the burst; down, the envelope
    falls by 8.686 dB in each time constant."""
    over, attack, release = 20.0, 0.02, 0.1
    plan = Plan(RATE_HZ, -6.0, 0.2)

    def gain_db(plan, at):
        sounds, since = since_jumps(plan, at)
        rest = 10 ** (REST_DB / 20)
        up = rest + (1 - rest) * (1 - np.exp(-since / attack))
        down = rest + (1 - rest) * np.exp(-since / release)
        envelope = np.where(sounds, up, np.where(at < BURST_S, rest, down))
        return -np.maximum(20 * np.log10(np.maximum(envelope, rest)) + over, 0)

    found = read(plan, 0, gain_db)
    rest = 10 ** (REST_DB / 20)
    at_share = 10 ** (-(1 - SHARE) * over / 20)
    assert found.attack_ms == pytest.approx(
        -1000 * attack * math.log((1 - at_share) / (1 - rest)), rel=0.05
    )
    at_share = 10 ** (-SHARE * over / 20)
    assert found.release_ms == pytest.approx(
        -1000 * release * math.log((at_share - rest) / (1 - rest)), rel=0.02
    )


@pytest.mark.parametrize("late_s", [-0.003, 0.0042])
def test_milliseconds_off_the_mark_do_no_harm(late_s):
    plan = Plan(RATE_HZ, -6.0, 0.2)
    found = read(plan, 0, smoothed_gain(0.004, 0.2, 10.0), late_s=late_s)
    assert found.attack_ms == pytest.approx(4, rel=0.15)
    assert found.release_ms == pytest.approx(200, rel=0.05)


def test_hum_and_noise_at_40_db_below_a_tone_do_no_harm():
    """The noise lies 30 dB below the carrier that the release is read from, the hum as high as it."""
    plan = Plan(RATE_HZ, -6.0, 0.2)
    section, sound = returned(plan, 0, smoothed_gain(0.005, 0.15, 10.0), noise_db=-70)
    hum = np.sin(2 * np.pi * 50 * np.arange(sound.size) / RATE_HZ)
    sound += 10 ** ((plan.ceiling_dbfs + REST_DB) / 20) * hum
    found = timings(plan, section, sound, RATE_HZ)
    assert found.attack_ms == pytest.approx(5, rel=0.15)
    assert found.release_ms == pytest.approx(150, rel=0.05)


def filtered(sound: np.ndarray, decibels: float, q: float) -> np.ndarray:
    """By a peak or dip at 1 kHz, of the Cookbook's digital form."""
    a, angle = 10 ** (decibels / 40), 2 * np.pi * 1000 / RATE_HZ
    alpha = np.sin(angle) / (2 * q)
    over = [1 + alpha * a, -2 * np.cos(angle), 1 - alpha * a]
    return signal.lfilter(over, [1 + alpha / a, over[1], 1 - alpha / a], sound)


@pytest.mark.parametrize("decibels", [6, -6])
def test_what_a_narrow_filter_behind_it_delays_hardly_changes_an_attack(decibels):
    plan = Plan(RATE_HZ, -6.0, 0.2)
    section, sound = returned(plan, 0, smoothed_gain(0.006, 0.15, 12.0))
    found = timings(plan, section, filtered(sound, decibels, 2), RATE_HZ)
    assert found.attack_ms == pytest.approx(6, rel=0.15)
    assert found.release_ms == pytest.approx(150, rel=0.05)


@pytest.mark.parametrize("decibels", [12, -12])
def test_attack_that_a_filter_may_falsify_is_told_at_the_other_frequency_alone(decibels):
    plan, gain = Plan(RATE_HZ, -6.0, 0.2), smoothed_gain(0.003, 0.15, 12.0)
    section, sound = returned(plan, 0, gain)
    assert timings(plan, section, filtered(sound, decibels, 4), RATE_HZ).attack_ms is None
    section, sound = returned(plan, 1, gain)
    found = timings(plan, section, filtered(sound, decibels, 4), RATE_HZ)
    assert found.attack_ms == pytest.approx(3, rel=0.15)


@pytest.mark.parametrize("way_db", [0.0, 1.0])
def test_where_hardly_anything_is_reduced_no_times_are_told(way_db):
    plan = Plan(RATE_HZ, -6.0, 0.2)
    found = read(plan, 0, smoothed_gain(0.005, 0.2, way_db))
    assert (found.attack_ms, found.release_ms) == (None, None)


def test_what_bends_at_once_has_no_attack():
    """A burst that is clipped 10 dB down: no gain follows, none has to come back."""
    plan = Plan(RATE_HZ, -6.0, 0.2)
    section, sound = returned(plan, 0, lambda plan, at: np.zeros_like(at))
    top = 10 ** ((plan.ceiling_dbfs - 10) / 20)
    found = timings(plan, section, np.clip(sound, -top, top), RATE_HZ)
    assert (found.attack_ms, found.release_ms) == (None, None)


def test_release_that_outlasts_the_pauses_is_not_told():
    """The file was made for 0.05 s; the compressor takes 2 s."""
    plan = Plan(RATE_HZ, -6.0, 0.05)
    found = read(plan, 0, smoothed_gain(0.005, 2.0, 10.0))
    assert found.release_ms is None


@pytest.mark.parametrize("sound", ["silence", "noise", "no burst"])
def test_where_no_burst_is_heard_nothing_is_told(sound):
    plan = Plan(RATE_HZ, -6.0, 0.2)
    section, played = returned(plan, 0, lambda plan, at: np.zeros_like(at))
    chance = np.random.default_rng(2).standard_normal(played.size)
    other = {
        "silence": np.zeros_like(played),
        "noise": 0.01 * chance,
        "no burst": np.sin(2 * np.pi * 1000 * np.arange(played.size) / RATE_HZ),
    }[sound]
    found = timings(plan, section, other, RATE_HZ)
    assert (found.attack_ms, found.release_ms) == (None, None)


@pytest.mark.parametrize("number", [0, 1])
@pytest.mark.parametrize(("third_db", "is_told"), [(-60, True), (-30, False)])
def test_times_are_not_told_where_distortion_moves_the_gain_as_well(number, third_db, is_told):
    """x + a x³ behind the compressor: the third harmonic is a A²/4, the gain moves by 3 a A²/4, with -30 dB by
    0.8 of 6 dB."""
    plan = Plan(RATE_HZ, 0.0, 0.2)
    section, sound = returned(plan, number, smoothed_gain(0.01, 0.2, 6.0))
    peak = 10 ** (-6 / 20)
    found = timings(plan, section, sound + 4 * 10 ** (third_db / 20) * sound**3 / peak**2, RATE_HZ)
    assert (found.attack_ms is not None, found.release_ms is not None) == (is_told, is_told)


@pytest.mark.parametrize(
    ("times", "why"),
    [
        (
            [(None, None), (None, None)],
            "Bursts are reduced by less than 2.5 dB, or at once, or they distort",
        ),
        ([(8, None), (8, None)], "The gain isn’t back by the next burst: the release takes longer"),
        ([(None, 90), (None, 91)], "The attack is faster than two periods of the burst’s sine."),
        ([(None, 90), (0.7, 91)], None),
    ],
)
def test_why_times_cannot_be_told(times, why):
    found = [Timing(hertz, *each) for hertz, each in zip((1000, 5000), times, strict=True)]
    said = why_untold(Plan(RATE_HZ, -6.0, 0.2), found)
    assert said is why if why is None else said.startswith(why)


def test_release_longer_than_the_file_was_made_for_speaks_against_the_curve():
    plan = Plan(RATE_HZ, -6.0, 0.2)
    assert release_faults(plan, [Timing(1000, 5.0, 250.0), Timing(5000, None, None)]) == ()
    (fault,) = release_faults(plan, [Timing(1000, 5.0, 420.0), Timing(5000, 5.0, None)])
    assert fault.key == "long release"
    assert fault.sentence == (
        "The release takes 0.4 s, the file allows for 0.2 s: the lowest steps of the curve may read low. "
        "Log it with the unit’s settings, and measure with a new file."
    )


def test_release_that_is_over_before_the_stairs_anyway_is_no_fault():
    """70 ms instead of 50: 0.6 s lie between the sweeps and the stairs."""
    assert release_faults(Plan(RATE_HZ, -6.0, 0.05), [Timing(1000, 5.0, 70.0)]) == ()
