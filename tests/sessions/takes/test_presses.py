"""What is pressed while takes are recorded: once, in time, and taken back."""

from collections import defaultdict
from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import Status, StatusStep
from sessions.setups.editor.actions import set_field
from sessions.takes.models import CompChoice, Mark, RevisionInDoubt, Take, TakePress
from tests.factories import (
    ChainFactory,
    ControlFactory,
    LyricLineFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    StageFactory,
    TakeFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return PartFactory(name="Lead vocal")


@pytest.fixture
def session(part):
    return RecordingSessionFactory(project=part.song.project, status=Status.UNDER_WAY)


@pytest.fixture
def setup(session):
    return SetupFactory(session=session)


@pytest.fixture
def chain(setup, part):
    """Its preamplifier's gain stands at 30 dB, since an hour."""
    chain = ChainFactory(setup=setup, part=part)
    with time_machine.travel(timezone.now() - timedelta(hours=1)):
        stage = StageFactory(revision=RevisionFactory(chain=chain), settings={"gain": 30})
    ControlFactory(panel=stage.panel, key="gain")
    return chain


@pytest.fixture
def press(engineer, session, part):
    """`press("mark", take=…, mark=…)`: as the script of the page sends it; the answer."""
    devices = defaultdict(Client)

    def send(what, *, by=engineer, ago=0, clock=0, **fields):
        """`ago`: how many seconds it was kept; `clock`: how many the device's clock is ahead."""
        if by not in devices:
            devices[by].force_login(by, backend="studio.backends.RoleBackend")
        sent = timezone.now().timestamp() * 1000 + clock * 1000
        times = {"pressed_at": int(sent - ago * 1000), "sent_at": int(sent)}
        data = {"number": uuid4(), "what": what, "part": part.pk, "kind": "whole"} | times | fields
        address = reverse("takes:press", args=[session.pk])
        return devices[by].post(address, data, headers={"Accept": "application/json"})

    return send


def gone_through(number):
    """Revisions, in order, and whether each came into force while it rolled."""
    through = Take.objects.get(number=number).through.all()
    return [(each.revision.number, bool(each.since)) for each in through]


def turn(chain, was, value, by):
    stage = chain.revisions.newest().get().stages.get()
    set_field(chain, key=f"{stage.unit_id}", name="control-gain", was=was, value=value, by=by)


def test_press_sent_again_gets_the_first_answer(press):
    number = uuid4()

    first, second = press("start", number=number), press("start", number=number)

    assert first.json() == second.json()
    assert first.json()["said"].endswith("take 1 rolling.")
    assert [take.number for take in Take.objects.all()] == [1]


def test_mark_finds_the_take_by_the_press_that_started_it(press):
    started = uuid4()
    press("start", number=started)

    answer = press("mark", take=started, mark="master")

    assert answer.json()["take"]["rolling"] is False
    assert Take.objects.get().take_parts.get().mark == Mark.MASTER


def test_second_start_says_who_started_the_first_and_when(press, manager, engineer):
    press("start")

    answer = press("start", by=manager)

    assert answer.status_code == 422
    at = timezone.localtime(Take.objects.get().started_at)
    assert f"started by {engineer} at {at:%H:%M:%S}" in answer.json()["said"]


def test_second_of_two_at_one_take_gets_both(press, manager, session, part):
    of_take = TakeFactory(part=part, session=session).take_parts.get()
    seen = f"{of_take.pk}.{of_take.version}"
    press("mark", by=manager, take=of_take.take_id, seen=seen, mark="hold")

    answer = press("mark", take=of_take.take_id, seen=seen, mark="master")

    both = answer.json()
    assert (answer.status_code, both["theirs"], both["yours"]) == (409, "Hold", "Master")
    assert both["by"] == str(manager)
    again = press("mark", take=of_take.take_id, seen=both["seen"], mark="master")
    assert again.status_code == 200


def test_second_of_two_notes_gets_both(press, manager, session, part):
    take = TakeFactory(part=part, session=session)
    press("note", by=manager, take=take.pk, version=1, note="plosive in bar 9")

    answer = press("note", take=take.pk, version=1, note="her best")

    both = answer.json()
    assert (both["theirs"], both["yours"]) == ("plosive in bar 9", "her best")


@pytest.mark.parametrize(
    ("pressed_at", "sent_at"), [("9" * 25, "5"), ("-7", "0"), ("", ""), ("2000", "1000")]
)
def test_clock_that_is_wrong_or_was_set_back_gives_no_error(press, pressed_at, sent_at):
    """No negative length, either: it ends by the same clock, or by ours."""
    before = timezone.now()
    press("start", pressed_at=pressed_at, sent_at=sent_at)

    press("end", take=Take.objects.get().pk, clock=-86_400)

    take = Take.objects.get()
    assert take.length >= timedelta(0)
    assert take.started_at >= before


def test_clock_of_the_device_stands_beside_ours(press):
    press("start", clock=3600)

    pressed = TakePress.objects.get()
    ahead = pressed.pressed_at - pressed.at
    assert abs(ahead - timedelta(hours=1)) < timedelta(seconds=1)
    assert abs(pressed.at - timezone.now()) < timedelta(minutes=1)


def test_late_press_points_to_what_was_in_force_when_it_was_pressed(
    press, setup, chain, part, engineer
):
    """revision 1 (take 1) ... pressed ... revision 2 (made since) ... sent"""
    press("start", setup=setup.pk)
    press("end", take=Take.objects.get().pk)
    turn(chain, 30, 33, engineer)
    press("start", setup=setup.pk, ago=60)

    press("end", take=Take.objects.get(number=2).pk, ago=30)

    assert gone_through(2) == [(1, False)]
    assert timedelta(seconds=29) < Take.objects.get(number=2).length < timedelta(seconds=31)


def test_change_while_a_late_take_rolled_is_noticed_at_its_end(press, setup, chain, part, engineer):
    """pressed ... revision 2 ... sent, ended"""
    press("start", setup=setup.pk)
    press("end", take=Take.objects.get().pk)
    turn(chain, 30, 33, engineer)
    press("start", setup=setup.pk, ago=60)

    press("end", take=Take.objects.get(number=2).pk)

    assert gone_through(2) == [(1, False), (2, True)]


def test_late_press_whose_settings_were_edited_in_place_says_so_and_asks(
    press, client_of, setup, chain, engineer
):
    turn(chain, 30, 33, engineer)
    press("start", setup=setup.pk, ago=60)
    take = Take.objects.get()
    doubt = take.in_doubt.get()
    assert gone_through(1) == []

    page = client_of(engineer).get(reverse("takes:edit", args=[take.pk])).content.decode()
    assert "was changed after this was pressed" in page
    client_of(engineer).post(reverse("takes:settle", args=[doubt.pk]), {"stood": "1"})

    assert (gone_through(1), take.in_doubt.exists()) == ([(1, False)], False)
    settled = take.history.first()
    assert settled.history_user == engineer
    assert settled.history_change_reason == f"Said to have been recorded through {doubt.revision}"


def test_revision_that_was_not_the_one_is_left_out(press, client_of, setup, chain, engineer):
    turn(chain, 30, 33, engineer)
    press("start", setup=setup.pk, ago=60)
    doubt = Take.objects.get().in_doubt.get()

    client_of(engineer).post(reverse("takes:settle", args=[doubt.pk]))

    assert (gone_through(1), RevisionInDoubt.objects.exists()) == ([], False)


def test_late_start_is_kept_though_another_take_rolls(press, manager):
    press("start", by=manager)

    answer = press("start", ago=120)

    assert answer.status_code == 200
    assert [take.is_rolling for take in Take.objects.all()] == [True, True]


def test_wrapped_session_takes_none_but_what_was_pressed_before_it_was(press, session):
    session.status = Status.WRAPPED
    session.save()
    StatusStep.objects.create(
        session=session, status=Status.WRAPPED, at=timezone.now() - timedelta(minutes=5)
    )

    assert "reopen it" in press("start").json()["said"]
    assert press("start", ago=600).status_code == 200


@pytest.mark.parametrize(
    ("what", "facts", "state"),
    [
        ("mark", {"mark": "hold"}, ("", False, "", True)),
        ("circle", {"circled": "1"}, ("", False, "", True)),
        ("note", {"note": "her best"}, ("", False, "", True)),
        ("end", {}, ("", False, "", True)),
        ("withdraw", {}, ("", False, "", True)),
    ],
)
def test_undo_takes_the_last_action_back(press, what, facts, state):
    press("start")
    take = Take.objects.get()
    assert press(what, take=take.pk, **facts).status_code == 200

    answer = press("undo")

    assert answer.json()["said"] == f"Undone: {what} of take 1."
    take, of_take = Take.objects.get(), take.take_parts.get()
    assert (of_take.mark, of_take.circled, take.note, take.is_rolling) == state
    assert not take.withdrawn


def test_undo_gives_the_earlier_master_back(press, session, part):
    first = TakeFactory(part=part, session=session, mark=Mark.MASTER)
    second = TakeFactory(part=part, session=session, number=2)
    of_take = second.take_parts.get()
    press("mark", take=second.pk, seen=f"{of_take.pk}.{of_take.version}", mark="master")

    press("undo")

    assert first.take_parts.get().mark == Mark.MASTER
    assert second.take_parts.get().mark == ""


def test_undo_goes_back_step_by_step_and_a_start_is_withdrawn(press):
    press("start")
    press("mark", take=Take.objects.get().pk, mark="hold")

    said = [press("undo").json()["said"] for _ in range(3)]

    assert said == [
        "Undone: mark of take 1.",
        "Take 1 withdrawn: its number stays used.",
        "There is nothing to undo: you have pressed nothing here yet.",
    ]
    take = Take.objects.get()
    assert (take.withdrawn, take.is_rolling) == (True, False)
    press("start")
    assert Take.objects.latest("pk").number == 2


def test_undo_is_refused_once_somebody_changed_the_take_after_it(press, manager, client_of):
    press("start")
    take = Take.objects.get()
    press("mark", take=take.pk, mark="hold")
    of_take = take.take_parts.get()
    press("mark", by=manager, take=take.pk, seen=f"{of_take.pk}.{of_take.version}", mark="master")

    answer = press("undo")

    assert "Take 1 was changed after that" in answer.json()["said"]
    assert take.take_parts.get().mark == Mark.MASTER


@pytest.mark.parametrize(("what", "facts"), [("mark", {"mark": "master"}), ("end", {})])
def test_start_is_not_undone_once_somebody_else_pressed_at_the_take(press, manager, what, facts):
    press("start")
    take = Take.objects.get()
    of_take = take.take_parts.get()
    seen = f"{of_take.pk}.{of_take.version}"
    press(what, by=manager, take=take.pk, seen=seen, **facts)

    answer = press("undo")

    assert "Take 1 was changed after that" in answer.json()["said"]
    assert not Take.objects.get().withdrawn


def test_undone_circle_does_not_let_a_take_roll_again_that_somebody_ended(press, manager):
    press("start")
    take = Take.objects.get()
    press("circle", take=take.pk, circled="1")
    press("end", by=manager, take=take.pk)

    assert press("undo").status_code == 422
    assert not Take.objects.get().is_rolling


def test_undo_leaves_an_earlier_master_that_somebody_marked_since(press, session, part, manager):
    first = TakeFactory(part=part, session=session, mark=Mark.MASTER).take_parts.get()
    second = TakeFactory(part=part, session=session, number=2).take_parts.get()
    press("mark", take=second.take_id, seen=f"{second.pk}.{second.version}", mark="master")
    first.refresh_from_db()
    seen = f"{first.pk}.{first.version}"
    press("mark", by=manager, take=first.take_id, seen=seen, mark="no_good")

    press("undo")

    marks = [each.take_parts.get().mark for each in (first.take, second.take)]
    assert marks == [Mark.NO_GOOD, ""]


def test_take_that_something_rests_on_is_not_withdrawn(press, session, part):
    take = TakeFactory(part=part, session=session, number=1)
    CompChoice.objects.create(part=part, take=take, line=LyricLineFactory(section__song=part.song))

    answer = press("withdraw", take=take.pk)

    assert answer.status_code == 422
    assert answer.json()["said"] == "Take 1 stays: the comp of Lead vocal takes a line from it."


def test_withdrawn_take_counts_for_nothing(press, session, part):
    take = TakeFactory(part=part, session=session, mark=Mark.MASTER)
    assert part.take_parts.chosen().exists()

    press("withdraw", take=take.pk)

    assert not part.take_parts.chosen().exists()
    assert not Take.objects.to_punch_into([part]).exists()


def test_press_kept_by_who_was_signed_in_before_is_not_taken_from_the_next(press, manager):
    assert press("start", by=manager, user=manager.pk + 1).status_code == 403
    assert not Take.objects.exists()


@pytest.mark.parametrize("count", [1, 12])
def test_take_is_one_request_of_the_same_cost_through_1_and_12_chains(press, setup, part, count):
    """The first through a revision keeps the facts of its day, too. Savepoints are no questions."""
    for _ in range(count):
        StageFactory(revision=RevisionFactory(chain=ChainFactory(setup=setup, part=part)))
    press("undo")  # signs in
    costs = []
    for _ in range(2):
        with CaptureQueriesContext(connection) as asked:
            press("start", setup=setup.pk)
        costs.append(sum("SAVEPOINT" not in query["sql"] for query in asked))
        press("end", take=Take.objects.latest("pk").pk)

    assert costs == [29, 20]
