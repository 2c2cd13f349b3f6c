"""What others tick appears on a checklist that is open."""

import pytest
from django.urls import reverse

from sessions.recall.rebuilds.actions import (
    choose_unit,
    finish_rebuild,
    read_tone,
    set_in_place,
    tick_control,
)
from sessions.recall.rebuilds.changes import Stamp, stamp_of
from tests.factories import RecordingSessionFactory
from tests.sessions.recall.rebuilds.vocal import started, step_at

pytestmark = pytest.mark.django_db


@pytest.fixture
def looks(client_of, engineer):
    """`looks(rebuild, since)`: the answer to who had it open then."""
    browser = client_of(engineer)

    def look(rebuild, since):
        return browser.get(reverse("rebuild:live", args=[rebuild.pk]), {"since": str(since)})

    return look


def pieces(answer):
    return answer.content.decode().split('id="')[1:]


def ids(answer):
    """Of the pieces alone."""
    wanted = ("checklist", "set-so-far", "step-", "control-")
    found = [piece.partition('"')[0] for piece in pieces(answer)]
    return {each for each in found if each.startswith(wanted) and not each.endswith("-name")}


def test_nothing_is_answered_where_nothing_changed(looks, rebuild, django_assert_max_num_queries):
    since = stamp_of(rebuild)
    looks(rebuild, since)

    with django_assert_max_num_queries(5):  # sign-in, user and rebuild with its song; one looks
        assert looks(rebuild, since).status_code == 304


def test_looking_is_one_query(rebuild, django_assert_num_queries):
    with django_assert_num_queries(1):
        stamp_of(rebuild)


def test_tick_of_another_is_that_control_and_the_count(looks, rebuild, assistant):
    since, step = stamp_of(rebuild), step_at(rebuild, 2)
    tick_control(step, key="gain", value=36, seen=0, by=assistant)

    answer = looks(rebuild, since)

    assert ids(answer) == {"set-so-far", f"control-{step.pk}-gain"}
    text = " ".join(answer.content.decode().split())
    assert f'data-since="{stamp_of(rebuild)}"' in text
    assert "1 of 2 logged controls set" in text
    assert f'id="progress-{step.pk}">1 of 2 set' in text
    assert str(assistant) in text


def test_tick_taken_back_is_told_too(looks, rebuild, assistant):
    step = step_at(rebuild, 2)
    made = tick_control(step, key="gain", value=36, seen=0, by=assistant)
    since = stamp_of(rebuild)
    tick_control(step, key="gain", value=None, seen=made.version, by=assistant)

    assert ids(looks(rebuild, since)) == {"set-so-far", f"control-{step.pk}-gain"}


def test_unit_put_in_place_or_read_is_that_unit(looks, rebuild, assistant):
    for change in (
        lambda step: set_in_place(step, in_place=True, by=assistant),
        lambda step: read_tone(step, reading=-5, seen=step.version, by=assistant),
    ):
        since, step = stamp_of(rebuild), step_at(rebuild, 2)
        change(step)
        found = ids(looks(rebuild, since))
        assert {"set-so-far", f"step-{step.pk}"} <= found
        assert "checklist" not in found
        assert f"step-{step_at(rebuild, 1).pk}" not in found


def test_other_unit_and_the_end_are_the_whole_list(looks, rebuild, assistant):
    """What is patched, what may be switched on and what can still be ticked hang on them."""
    today = RecordingSessionFactory(project=rebuild.song.project)
    for change in (
        lambda: choose_unit(step_at(rebuild, 1), unit=None, is_left_out=True, seen=1, by=assistant),
        lambda: finish_rebuild(rebuild, session=today, by=assistant),
    ):
        since = stamp_of(rebuild)
        change()
        assert "checklist" in ids(looks(rebuild, since))


@pytest.mark.parametrize("since", ["", "x", "1-2", "1-2-x", "9" * 400 + "-1-1"])
def test_stamp_that_is_none_gets_all(looks, rebuild, since):
    assert Stamp.read(since) is None or since.startswith("9")
    assert "checklist" in ids(looks(rebuild, since))


def test_change_of_another_rebuild_is_nothing_here(looks, rebuild, engineer):
    since = stamp_of(rebuild)
    other = started(recorded_vocal_again(rebuild), engineer)
    tick_control(step_at(other, 2), key="gain", value=36, seen=0, by=engineer)

    assert looks(rebuild, since).status_code == 304


def recorded_vocal_again(rebuild):
    return rebuild.steps.select_related("stage__revision__chain").first().stage.revision


@pytest.mark.parametrize("ticked", [1, 2])
def test_changes_cost_the_same_queries_however_many(
    looks, rebuild, assistant, ticked, django_assert_num_queries
):
    since = stamp_of(rebuild)
    looks(rebuild, since)
    step = step_at(rebuild, 2)
    keys = ["gain"] * ticked
    for number, key in enumerate(keys):
        tick_control(step, key=key, value=36 + number, seen=number, by=assistant)

    with django_assert_num_queries(QUERIES):
        assert looks(rebuild, since).status_code == 200


QUERIES = 20


def test_mix_engineer_sees_only_what_they_mix(client_of, mix_engineer, rebuild):
    page = reverse("rebuild:live", args=[rebuild.pk])

    assert client_of(mix_engineer).get(page).status_code == 404
