"""Many processes at once, and killed ones: on whichever engine the tests run."""

import pytest

from tests.measure.running import measure


@pytest.mark.django_db
@pytest.mark.parametrize("way", [[], ["--http"]])
def test_race_for_the_same_rooms_loses_and_doubles_nothing(way, tmp_path):
    """Real actions in processes, or the forms through gunicorn; each killed by SIGKILL. The command
    fails where it holds not; its verdict is tested in `tests/measure/test_race.py`."""
    printed, _ = measure(tmp_path, "race", "--writers=4", "--seconds=4", "--heats=1", *way)

    verdict = dict(line.split(maxsplit=1) for line in printed.splitlines())
    assert verdict["holds"] == "True"
    assert (verdict["lost"], verdict["overlaps"], verdict["gaps"]) == ("[]", "0", "0")
    assert verdict["writers"] == "4"
