from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import Reservation, Status
from sessions.deliverables.listening.actions import give_verdict
from sessions.deliverables.listening.models import Choice
from sessions.deliverables.models import DeliverableKind, FileState
from sessions.money.payments.actions import record_payment
from sessions.setups.headphones.models import MixSnapshot
from tests.factories import (
    ChainFactory,
    ChallengeFactory,
    DeliverableFactory,
    DeliverableFileFactory,
    DeliveredItemFactory,
    FaultFactory,
    InvoiceFactory,
    LetterFactory,
    MixNoteFactory,
    PartFactory,
    PersonFactory,
    RebuildStepFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RevisionFactory,
    RoomFactory,
    SetupFactory,
    SongFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db


def session_at(hours, status, **more):
    starts = timezone.now() + timedelta(hours=hours)
    return RecordingSessionFactory(
        starts_at=starts, ends_at=starts + timedelta(hours=4), status=status, **more
    )


def today_of(client_of, user):
    return client_of(user).get(reverse("home"))


def titles(page, section) -> list:
    return [session.title for session in page.context[section]]


def challenged(hours, *, project=None):
    """A hold on a room that has to be answered within so many hours, and who stands behind it."""
    more = {"project": project} if project else {}
    hold, challenger = (session_at(200, Status.HELD, **more) for _ in range(2))
    room = RoomFactory()
    ReservationFactory(session=hold, room=room)
    ReservationFactory(session=challenger, room=room, rank=2)
    return ChallengeFactory(
        hold=hold,
        challenger=challenger,
        made_at=timezone.now() - timedelta(days=1),
        deadline=timezone.now() + timedelta(hours=hours),
    )


def copied_stage(session, *controls):
    chain = ChainFactory(setup=SetupFactory(session=session))
    return StageFactory(
        revision=RevisionFactory(chain=chain),
        settings=dict.fromkeys(controls, 1.0),
        not_yet_set=list(controls),
    )


def busy_day(project, by):
    """A row for everything that a page of today has."""
    for status in (Status.UNDER_WAY, Status.CONFIRMED, Status.WRAPPED):
        session = session_at(0, status, project=project)
        ReservationFactory(session=session)
        if status == Status.UNDER_WAY:
            copied_stage(session, "gain")
    unit = FaultFactory().unit
    later = session_at(2, Status.HELD, project=project)
    ReservationFactory(session=later, room=None, unit=unit)
    ReservationFactory(session=later, room=None, person=PersonFactory(), rank=None, missing=True)
    challenged(3, project=project)
    song = SongFactory(project=project)
    rough = DeliverableFileFactory(
        deliverable=DeliverableFactory(song=song), state=FileState.MEASURED
    ).deliverable
    give_verdict(rough, choice=Choice.CHANGES_WANTED, by=by)
    MixNoteFactory(deliverable=rough)
    RebuildStepFactory(rebuild__song=song)
    TakeFactory(part=PartFactory(song=song), circled=True, session=session)
    LetterFactory(state="failed")
    InvoiceFactory(due_on=timezone.localdate() - timedelta(days=3))


@pytest.mark.parametrize("rows", [1, 3])
@pytest.mark.parametrize(
    ("role", "queries", "sections"),
    [
        (
            "manager",
            28,  # two of them for the first steps, two for backups
            ("on_now", "challenges", "holds_near", "needs", "faulty", "not_told", "verdicts"),
        ),
        (
            "engineer",
            32,
            ("on_now", "copied", "bare_takes", "not_sent", "needs", "verdicts", "rough_mixes"),
        ),
        ("mix_engineer", 13, ("on_now", "to_mix", "rebuilds", "notes", "verdicts", "rough_mixes")),
    ],
)
def test_today_costs_the_same_on_a_busy_day(
    client_of, request, mixed_project, rows, role, queries, sections, django_assert_num_queries
):
    user = request.getfixturevalue(role)
    for _ in range(rows):
        busy_day(mixed_project, user)
    client = client_of(user)

    with django_assert_num_queries(queries):
        page = client.get(reverse("home"))

    counts = {name: len(page.context[name]) for name in sections if name != "on_now"}
    assert counts == dict.fromkeys(counts, rows)
    assert len(page.context["on_now"]) == 2 * rows  # the confirmed ones that nobody has started


def test_today_tells_sessions_apart_by_state_and_time(client_of, engineer):
    session_at(-1, Status.UNDER_WAY, title="Now")
    session_at(-2, Status.CONFIRMED, title="Late to begin")
    session_at(2, Status.HELD, title="Tonight")
    session_at(6 * 24, Status.ENQUIRY, title="Next week")
    session_at(8 * 24, Status.CONFIRMED, title="Too far off")
    session_at(2, Status.CANCELLED, title="Called off")
    session_at(-50, Status.CONFIRMED, title="Gone by")
    session_at(-26, Status.WRAPPED, title="Yesterday")
    session_at(-50, Status.WRAPPED, title="The day before")

    page = today_of(client_of, engineer)

    assert titles(page, "on_now") == ["Late to begin", "Now"]
    assert titles(page, "coming_up") == ["Tonight", "Next week"]
    assert titles(page, "wrapped") == ["Yesterday", "The day before"]


def test_today_names_the_rooms_that_are_taken(client_of, engineer):
    session = session_at(2, Status.CONFIRMED)
    ReservationFactory(session=session, room=RoomFactory(name="Rope Floor"))
    ReservationFactory(session=session, room=RoomFactory(name="Bread Room"), rank=None)

    page = today_of(client_of, engineer)

    assert "Rope Floor" in page.text
    assert "Bread Room" not in page.text


def test_today_shows_rough_mixes_and_no_other_deliverables(client_of, engineer):
    early, late = DeliverableFactory(), DeliverableFactory()
    DeliverableFactory(kind=DeliverableKind.STEMS)

    page = today_of(client_of, engineer)

    assert list(page.context["rough_mixes"]) == [late, early]


def test_today_of_a_mix_engineer_is_that_of_their_projects(client_of, mix_engineer, mixed_project):
    theirs = TakeFactory(part__song__project=mixed_project, circled=True).song
    TakeFactory(part__song__project=mixed_project)
    TakeFactory(circled=True)
    session_at(2, Status.CONFIRMED, title="Theirs", project=mixed_project)
    session_at(2, Status.CONFIRMED, title="Not theirs")
    DeliverableFactory()

    page = today_of(client_of, mix_engineer)

    assert list(page.context["to_mix"]) == [theirs]
    assert titles(page, "coming_up") == ["Theirs"]
    assert list(page.context["rough_mixes"]) == []


def test_today_offers_nothing_to_mix_to_those_whom_no_project_names(client_of, engineer):
    TakeFactory(circled=True)

    page = today_of(client_of, engineer)

    assert list(page.context["to_mix"]) == []


def test_challenges_stand_by_their_hour_with_the_ranks_of_both_sides(client_of, manager):
    challenged(30)
    soon = challenged(3)

    page = today_of(client_of, manager)

    first, second = page.context["challenges"]
    assert (first.challenge, first.is_soon, second.is_soon) == (soon, True, False)
    assert (first.hold.standing, first.challenge.challenger.standing) == (
        "first hold",
        "second hold",
    )
    assert first.left in ("in 3 h", "in 2 h 59 min", "in 2 h 60 min")
    assert "first hold" in page.text


def test_hold_that_nobody_confirmed_is_named_as_its_day_comes(client_of, manager):
    near = session_at(47, Status.HELD, title="Near")
    session_at(100, Status.HELD, title="Far off")
    session_at(10, Status.CONFIRMED, title="Settled")
    challenge = challenged(3)

    holds = today_of(client_of, manager).context["holds_near"]

    assert [each.hold for each in holds] == [near]
    assert challenge.hold not in [each.hold for each in holds]


def test_faults_are_named_once_for_all_sessions_that_take_the_unit(client_of, manager):
    unit = FaultFactory(description="Hums on channel 2").unit
    FaultFactory(unit=UnitFactory(), description="Nobody has booked it")
    sessions = [session_at(hours, Status.CONFIRMED) for hours in (30, 3)]
    for session in sessions:
        ReservationFactory(session=session, room=None, unit=unit)

    page = today_of(client_of, manager)

    [faulty] = page.context["faulty"]
    assert (faulty.unit, faulty.sessions) == (unit, sessions[::-1])
    assert "Hums on channel 2" in page.text
    assert "Nobody has booked it" not in page.text


def test_unit_on_the_bench_is_a_stand_in_wanted_and_no_fault_besides(client_of, manager):
    unit = FaultFactory(unit=UnitFactory(state="on_the_bench")).unit
    ReservationFactory(session=session_at(3, Status.CONFIRMED), room=None, unit=unit)

    page = today_of(client_of, manager)

    assert page.context["faulty"] == []
    assert [need.unit for need in page.context["needs"]] == [unit]


def test_only_managers_see_what_is_to_bill(client_of, manager, engineer):
    session_at(-50, Status.WRAPPED, title="Band day")

    assert "1 not billed" in today_of(client_of, manager).text
    assert "not billed" not in today_of(client_of, engineer).text


def test_money_names_what_is_overdue_and_adds_up_what_is_not_yet_due_by_currency(
    client_of, manager
):
    """Overdue begins the day after it was due; what was paid in part counts with what is left."""
    today = timezone.localdate()
    late = InvoiceFactory(due_on=today - timedelta(days=12))
    InvoiceFactory(due_on=today)
    InvoiceFactory(due_on=today + timedelta(days=9), total=Decimal("30.00"), currency="EUR")
    paid = InvoiceFactory(due_on=today - timedelta(days=40))
    part_paid = InvoiceFactory(due_on=today - timedelta(days=1))
    for invoice, amount in ((paid, "120.00"), (part_paid, "20.00")):
        record_payment(
            invoice.client,
            received_on=today,
            amount=Decimal(amount),
            currency="GBP",
            by=manager,
        )

    page = today_of(client_of, manager)

    money = page.context["money"]
    assert [(each.invoice, each.days_late, each.balance) for each in money.overdue.invoices] == [
        (late, 12, "120.00 GBP"),
        (part_paid, 1, "100.00 GBP"),
    ]
    assert money.overdue.sums == "220.00 GBP"
    assert money.not_due.sums == "30.00 EUR and 120.00 GBP"
    assert "2 unpaid, not yet due" in page.text


def test_next_is_theirs_before_it_is_anybodys(client_of, engineer):
    mine = PersonFactory(user=engineer)
    session_at(2, Status.CONFIRMED, title="Another’s")
    theirs = session_at(30, Status.CONFIRMED, title="Theirs")
    ReservationFactory(session=theirs, room=None, person=mine)

    page = today_of(client_of, engineer)

    assert titles(page, "coming_up") == ["Theirs", "Another’s"]
    assert [each.is_theirs for each in page.context["coming_up"]] == [True, False]
    assert "Missing for “Theirs”" in page.text
    assert "No setup is prepared." in page.text
    assert "No rate card is chosen." not in page.text


def test_copied_controls_are_counted_on_the_newest_revision_of_what_is_up(client_of, assistant):
    session = session_at(2, Status.CONFIRMED)
    stage = copied_stage(session, "gain", "pad", "polarity")
    newer = RevisionFactory(chain=stage.revision.chain, number=2)
    StageFactory(revision=newer, not_yet_set=["gain"], unit=stage.unit, panel=stage.panel)
    struck = copied_stage(session_at(3, Status.CONFIRMED), "gain")
    struck.revision.chain.setup.struck_at = timezone.now()
    struck.revision.chain.setup.save()
    copied_stage(session_at(-50, Status.WRAPPED), "gain")

    [copied] = today_of(client_of, assistant).context["copied"]

    assert (copied.setup, copied.count) == (stage.revision.chain.setup, 1)


def test_takes_that_no_chain_was_logged_for_are_counted_by_session(client_of, engineer):
    session = session_at(-5, Status.WRAPPED)
    TakeFactory(session=session)
    TakeFactory(session=session, withdrawn=True)
    logged = TakeFactory(session=session)
    revision = RevisionFactory(chain__setup__session=session, fixed_at=timezone.now())
    heard = MixSnapshot.objects.create(setup=revision.chain.setup)
    logged.through.create(revision=revision, heard=heard)

    [found] = today_of(client_of, engineer).context["bare_takes"]

    assert (found, found.bare_count) == (session, 1)


def test_what_is_ready_and_went_to_nobody_is_to_be_sent(client_of, engineer):
    def made(state=FileState.MEASURED, **facts):
        return DeliverableFileFactory(
            deliverable=DeliverableFactory(**facts), state=state
        ).deliverable

    song = SongFactory()
    made(song=song, version=1)
    newest = made(song=song, version=2)
    made(state=FileState.WAITING)
    DeliveredItemFactory(deliverable=made())
    DeliverableFactory()

    page = today_of(client_of, engineer)

    assert page.context["not_sent"] == [newest]
    assert reverse("deliveries:send", args=[newest.pk]) in page.text


def test_notes_are_there_until_they_are_answered(client_of, mix_engineer, mixed_project):
    mix = DeliverableFactory(song__project=mixed_project)
    note = MixNoteFactory(deliverable=mix, text="Cornet down")
    MixNoteFactory(deliverable=mix, state="done")
    MixNoteFactory(text="Of a song that is not theirs")

    assert today_of(client_of, mix_engineer).context["notes"] == [note]


def test_rebuild_says_how_many_of_its_units_are_in_place(client_of, mix_engineer, mixed_project):
    step = RebuildStepFactory(rebuild__song__project=mixed_project, in_place_at=timezone.now())
    RebuildStepFactory(rebuild=step.rebuild)

    assert "1 of 2 units in place" in today_of(client_of, mix_engineer).text


def test_what_there_is_none_of_is_said_in_one_line(client_of, manager):
    page = today_of(client_of, manager)

    assert page.context["quiet"] == [
        "challenges",
        "holds near their day",
        "stand-ins",
        "faults on booked units",
        "letters",
    ]
    assert Reservation.objects.count() == 0
