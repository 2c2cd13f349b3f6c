"""One way through each kind of answer; how often it is right is measured on simulated chains
(tests/measure/proposals)."""

import json
from dataclasses import replace

import pytest

from gear.audio.proving.explaining.explain import explain
from gear.audio.proving.explaining.model import Dynamics, Gain, Model
from gear.audio.proving.explaining.proposal import Proposal
from gear.audio.proving.result import Timing
from tests.gear.audio.proving.explaining.chains import MODEL, knob, measured, recorded

THEN = measured()


def stated(proposal: Proposal) -> list[set[str]]:
    return [set(each.keys) for each in (proposal.best, *proposal.alternatives)]


def test_what_agrees_is_left_alone():
    proposal = explain(MODEL, THEN, measured(mid_gain=4.2), 0.5)

    assert (proposal.best, proposal.why_none) == (None, "alike")
    assert "within the tolerance" in proposal.sentence


def test_a_knob_that_was_misread_is_turned_back():
    proposal = explain(MODEL, THEN, measured(high_gain=1), 0.5)

    [move] = proposal.best.moves
    assert (move.key, move.unit, move.from_value) == ("high-gain", "dB", -3)
    assert move.acts_as == pytest.approx(1, abs=0.05)
    assert move.to_value == pytest.approx(-7, abs=0.05)
    assert not move.stands_elsewhere
    assert proposal.differs.response_db == pytest.approx(4, abs=0.3)
    assert proposal.best.remains.worst_db < 0.1


def test_a_knob_that_cannot_stand_where_the_record_says_goes_to_where_it_stood():
    """18 dB is the first position: what acts as two further can't be turned down from there."""
    model = Model((Gain(knob("gain", "gain", 18, 18, 24, 30, 36, kind="stepped")),))

    proposal = explain(model, measured(model), measured(model, gain=30), 0.5)

    [move] = proposal.best.moves
    assert (move.from_value, move.to_value, move.stands_elsewhere) == (30, 18, True)


def test_a_knob_that_the_record_has_elsewhere_goes_back_to_where_it_stood():
    proposal = explain(recorded(MODEL, high_gain=1), THEN, measured(high_gain=1), 0.5)

    [move] = proposal.best.moves
    assert (move.from_value, move.to_value) == (1, pytest.approx(-3, abs=0.05))


def test_a_switch_that_was_forgotten():
    proposal = explain(MODEL, THEN, measured(equaliser=0), 0.5)

    assert {"equaliser"} in stated(proposal)
    [move] = proposal.best.moves
    assert (move.key, move.from_value, move.to_value) == ("equaliser", 0, 1)


def test_three_at_once():
    now = measured(low_cut=120, mid_frequency=3000, threshold=-14)

    assert {"low-cut", "mid-frequency", "threshold"} in stated(explain(MODEL, THEN, now, 0.5))


def test_gain_is_told_beside_what_does_the_same():
    """Gain up by 6 is threshold down and make-up up by 6: nothing measured tells them apart."""
    proposal = explain(MODEL, THEN, measured(threshold=-16, make_up=11), 0.5)

    assert stated(proposal)[0] == {"gain"}
    assert {"threshold", "make-up"} in stated(proposal)


def test_a_level_that_no_control_gives_is_said_to_be_elsewhere():
    model = Model(MODEL.parts[1:3])

    proposal = explain(model, measured(model), measured(model, level_db=-2), 0.5)

    assert (proposal.best, proposal.why_none) == (None, "elsewhere")
    assert "fed at" in proposal.sentence


def test_what_no_logged_control_does_is_not_explained():
    model = Model((Gain(knob("gain", "gain", 30, 18, 30, 42)),))

    proposal = explain(model, measured(MODEL), measured(MODEL, high_gain=6, mid_gain=-6), 0.5)

    assert (proposal.best, proposal.why_none) == (None, "not explained")


def test_a_chain_without_logged_controls():
    assert explain(Model(()), THEN, measured(high_gain=1), 0.5).why_none == "no controls"


def test_what_does_harm_is_withheld_and_said():
    def harm(moves):
        return "It would drive the line input beyond its maximum." if moves[0].to_value < 30 else ""

    model = Model(MODEL.parts[:1])
    proposal = explain(model, measured(model), measured(model, gain=36), 0.5, harm=harm)

    assert (proposal.best, proposal.why_none) == (None, "harm")
    [withheld] = proposal.withheld
    assert withheld.keys == {"gain"}
    assert withheld.harm == "It would drive the line input beyond its maximum."


def test_a_proposal_is_kept_as_json():
    proposal = explain(MODEL, THEN, measured(threshold=-16, make_up=11), 0.5)

    assert Proposal.from_json(json.loads(json.dumps(proposal.as_json()))) == proposal


TIMED = Model(
    (
        Gain(30),
        Dynamics(
            knob("threshold", "threshold", -20, -30, -20, -10, 0, 10, unit="dBu"),
            knob("ratio", "ratio", 4, 1.5, 2, 4, 12, unit=":1"),
            attack=knob("attack", "attack", 5, 0.5, 5, 50, unit="ms"),
            release=knob("release", "release", 0.2, 0.05, 0.2, 2, unit="s"),
        ),
    )
)


def timed(*attacks_ms, release_ms=200, **moved):
    timings = tuple(
        Timing(hz, ms, release_ms) for hz, ms in zip((1000, 5000), attacks_ms, strict=True)
    )
    return replace(measured(TIMED, **moved), timings=timings)


def test_attack_that_is_slower_is_turned_back_though_nothing_else_differs():
    proposal = explain(TIMED, timed(5, 5.4), timed(10, 10.9), 0.5)

    [move] = proposal.best.moves
    assert (move.key, move.from_value) == ("attack", 5)
    assert move.acts_as == pytest.approx(10, rel=0.03)
    assert move.to_value == pytest.approx(2.5, rel=0.03)


def test_timing_is_named_beside_what_differs_in_level():
    proposal = explain(TIMED, timed(5, 5), timed(5, 5, release_ms=350, threshold=-24), 0.5)

    assert {"threshold", "release"} in stated(proposal)


@pytest.mark.parametrize("attacks", [(5.8, 6), (10, 5.2), (0.4, 0.5)])
def test_timing_within_what_measuring_gives_or_at_odds_is_left_alone(attacks):
    assert explain(TIMED, timed(5, 5), timed(*attacks), 0.5).why_none == "alike"
