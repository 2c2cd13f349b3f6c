"""What a session's page opens with before it begins, under way, and when it is over."""

from datetime import timedelta

import pytest
from django.utils import timezone

from sessions.bookings.models import RecordingSession, Status, WorkedHours
from sessions.desk.session_pages.moment import moment_of
from tests.factories import (
    MoneyPaperFactory,
    OrderSignatureFactory,
    RateCardFactory,
    RecordingSessionFactory,
    SetupFactory,
    SongFactory,
    WorkedHoursFactory,
)

pytestmark = pytest.mark.django_db
TOMORROW = timezone.now() + timedelta(days=1)


def moment(**facts):
    session = RecordingSessionFactory(**facts)
    return session, moment_of(RecordingSession.objects.for_list().get(pk=session.pk))


def first_steps(moment) -> list[str]:
    return [step.page for step in moment.steps[:3]]


def test_before_it_begins_it_says_what_is_missing():
    session, before = moment(
        status=Status.CONFIRMED, starts_at=TOMORROW, ends_at=TOMORROW + timedelta(hours=4)
    )

    assert first_steps(before) == ["setups:session", "bookings:call_sheet", "bookings:confirmation"]
    assert [(each.page, each.key) for each in before.missing] == [
        ("bookings:edit", session.pk),  # a room
        ("bookings:edit", session.pk),  # an engineer
        ("money:choose", session.pk),
        ("songs:create", session.project_id),
        ("setups:setup_create", session.pk),
    ]


def test_before_it_begins_nothing_is_said_of_what_is_there(manager):
    session, _ = moment(
        status=Status.CONFIRMED,
        starts_at=TOMORROW,
        ends_at=TOMORROW + timedelta(hours=4),
        rate_card=RateCardFactory(),
    )
    SongFactory(project=session.project)
    SetupFactory(session=session)

    missing = moment_of(RecordingSession.objects.for_list().get(pk=session.pk)).missing

    assert [each.page for each in missing] == ["bookings:edit", "bookings:edit"]


def test_under_way_come_takes_and_setups():
    _, now = moment(status=Status.UNDER_WAY)

    assert first_steps(now)[:2] == ["takes:session", "setups:session"]
    assert [each.page for each in now.missing] == ["overtime:approve"]  # 2026 is over


def test_under_way_nothing_is_missing_within_the_agreed_time():
    starts_at = timezone.now() - timedelta(hours=1)
    _, now = moment(status=Status.UNDER_WAY, starts_at=starts_at)

    assert now.missing == []


def test_over_come_hours_report_and_work_order_until_they_are_there():
    session, over = moment(status=Status.WRAPPED)

    assert first_steps(over) == ["money:hours_create", "reports:session", "money:session"]
    assert [each.page for each in over.missing] == ["money:hours_create", "sign_off:session"]

    WorkedHoursFactory(session=session, kind=WorkedHours.Kind.ACTUAL)
    order = MoneyPaperFactory(session=session, kind="work_order")

    assert [each.page for each in moment_of(session).missing] == ["sign_off:session"]

    OrderSignatureFactory(paper=order)

    assert moment_of(session).missing == []
