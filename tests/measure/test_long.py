"""Which parts run, how long and by which seed; the parts themselves run in CI, as shares."""

import pytest

from tests.measure import long
from tests.measure.running import measure


@pytest.fixture
def part(monkeypatch):
    """A part that gives back what it was asked to do."""
    part = long.Part(lambda count, seed: (count, seed), count=600, share=10, what="blows")
    monkeypatch.setitem(long.PARTS, "part", part)


@pytest.mark.parametrize(
    ("count", "share", "done"), [(None, False, 600), (None, True, 10), (7, True, 7)]
)
def test_part_runs_so_long_and_says_how_to_run_it_again(part, count, share, done):
    said, found = long.measure(["part"], count, share, seed=4)

    assert said == f"long part --count {done} --seed 4: {done} blows"
    assert found == (done, 4)


@pytest.mark.parametrize(("fails", "hold"), [("", True), ("kill", False)])
def test_parts_run_in_processes_of_their_own_and_all_must_hold(monkeypatch, fails, hold):
    run = []
    monkeypatch.setattr(
        long.subprocess, "call", lambda command: run.append(command[-1]) or command[-1] == fails
    )

    assert long.measure_each([], None, True, seed=4) == hold
    assert run == list(long.PARTS)


@pytest.mark.django_db
def test_unknown_part_is_refused(tmp_path):
    _, complained = measure(tmp_path, "long", "sleep", status=2)

    assert "no such part: sleep" in complained
