"""Chains are drawn [unit settings] -- [unit]; levels are worked out by hand beside them."""

import pytest

from gear.equipment.models import Category
from gear.panels.models import Meaning
from sessions.recall.proving.feeding import ROOM_DB, feed_of, limit_in_words, usual_pad_db
from tests.sessions.setups.in_memory import knob, microphone, revision, stage, switch, unit


def preamplifier(**facts):
    return unit(
        knob("Gain", Meaning.GAIN),
        switch("Pad", Meaning.PAD, words=("0 dB", "20 dB"), unit="dB"),
        **{"max_output_dbu": 26, "tag": "P-01"} | facts,
    )


def equaliser(hertz, **facts):
    return unit(
        knob("Boost", Meaning.BAND_GAIN, low=-15, high=15, band=1),
        knob("Frequency", Meaning.BAND_FREQUENCY, low=20, high=20_000, unit="Hz", band=1),
        category=Category.EQUALISER,
        **{"max_output_dbu": 20, "tag": "E-01"} | facts,
    ), {"boost": 12, "frequency": hertz}


def compressor(unit_of_time="ms"):
    return unit(
        knob("Makeup", Meaning.MAKE_UP, high=20),
        knob("Release", Meaning.RELEASE, low=50, high=1200, unit=unit_of_time),
        category=Category.COMPRESSOR,
        tag="C-01",
    )


def test_file_is_fed_in_after_the_microphone_and_is_limited_by_the_converter():
    """[mic] -- [pre +40], 0 dBFS at +18: -22 dBu there is full scale; the preamplifier has 26."""
    feed = feed_of(revision(stage(microphone()), stage(preamplifier(), {"gain": 40, "pad": 0})))

    assert (feed.entry.position, [each.position for each in feed.before]) == (2, [1])
    assert (feed.limit.dbu, feed.limit.what) == (-22, "the converter")
    assert feed.loudest_dbu == -22 - ROOM_DB
    assert limit_in_words(feed) == "The converter clips first, at −22.0 dBu here."


def test_pad_before_the_input_is_counted():
    """[pre pad 20, input at most 0, +10]: +20 dBu may arrive, but then the output has 10 + 10 = 20."""
    pre = preamplifier(max_input_dbu=0, max_output_dbu=16)
    feed = feed_of(revision(stage(pre, {"gain": 10, "pad": 20}), full_scale_dbu=24))

    assert (feed.limit.dbu, feed.limit.what) == (20, "the input of P-01")


@pytest.mark.parametrize(
    ("hertz", "dbu"),
    [(1000, 8), (100, 18)],
    ids=["boosted where bursts are as loud as the ceiling", "boosted where only sweeps go"],
)
def test_boost_leaves_less_room(hertz, dbu):
    """[equaliser +12 dB, output at most 20]: at 1 kHz 12 less; elsewhere sweeps are 10 below anyway."""
    of, settings = equaliser(hertz)
    feed = feed_of(revision(stage(of, settings), full_scale_dbu=30))

    assert feed.limit.dbu == pytest.approx(dbu, abs=0.3)


def test_make_up_counts_and_reduction_does_not():
    """[compressor +6 make-up]: a burst comes before it acts."""
    chain = revision(stage(compressor(), {"makeup": 6, "release": 100}))

    assert feed_of(chain).limit.dbu == 12


def test_gain_that_is_not_logged_leaves_the_ceiling_to_whoever_knows():
    feed = feed_of(revision(stage(microphone()), stage(preamplifier(), {"pad": 0})))

    assert feed.loudest_dbu is None
    assert feed.unknown == ("Not logged at P-01: Gain.",)
    assert limit_in_words(feed) == ""


def test_up_to_a_unit_the_later_ones_do_not_limit():
    chain = revision(
        stage(preamplifier(), {"gain": 10, "pad": 0}),
        stage(preamplifier(tag="P-02"), {"gain": 50, "pad": 0}),
    )

    assert feed_of(chain).limit.dbu == -42
    assert feed_of(chain, up_to=1).limit.dbu == 8


def test_monitor_only_is_not_gone_through():
    chain = revision(
        stage(preamplifier(), {"gain": 10, "pad": 0}), stage(compressor(), path="monitor")
    )

    assert [each.position for each in feed_of(chain).stages] == [1]


@pytest.mark.parametrize(
    ("logged", "of_time", "seconds"),
    [({"release": 800}, "ms", 0.8), ({}, "ms", 1.2), ({"release": 60}, "ms", 0.2), ({}, "", 0.2)],
    ids=["as logged", "not logged: the longest it has", "a short one", "no scale in seconds"],
)
def test_pauses_between_bursts_follow_the_longest_release(logged, of_time, seconds):
    chain = revision(stage(compressor(of_time), {"makeup": 0} | logged))

    assert feed_of(chain).release_s == pytest.approx(seconds)


@pytest.mark.parametrize(
    ("fed", "pad"), [(-35, 40), (-22, 40), (-21, 20), (4, 0), (18, 0), (-90, 80)]
)
def test_pad_brings_the_file_close_to_full_scale(fed, pad):
    """Full scale is +18 dBu: by 40 dB a file at -10 dBFS is -32 dBu."""
    assert usual_pad_db(fed, 18) == pad


def test_digest_tells_settings_apart_and_nothing_else():
    one = stage(preamplifier(), {"gain": 10, "pad": 0})
    chain = revision(one)
    as_it_was = feed_of(chain).digest

    one.note, one.settings = "left one", {"pad": 0, "gain": 10}
    assert feed_of(chain).digest == as_it_was
    one.settings = {"pad": 0, "gain": 11}
    assert feed_of(chain).digest != as_it_was
