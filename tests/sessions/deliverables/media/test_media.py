"""Where the audio lives: copies that were verified, a client who is told, and what left the house."""

from datetime import timedelta

import pytest
from django.db import IntegrityError
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import Status
from sessions.deliverables.media.checks import doubts_about_wrapping, warnings_about_copies
from sessions.deliverables.media.models import Handover, MediaCopy, MediumKind
from sessions.letters.models import Letter
from tests.factories import (
    ClientFactory,
    HandoverFactory,
    IncomingMaterialFactory,
    MediaCopyFactory,
    MediumFactory,
    RecordingSessionFactory,
    TakeFactory,
    WorkstationFileFactory,
)

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"media:{name}", args=[thing.pk])


def verified(**facts):
    return MediaCopyFactory(verified_at=timezone.now(), **facts)


@pytest.fixture
def copy():
    return MediaCopyFactory(project__client=ClientFactory(email="label@example.org"))


@pytest.fixture
def recorded():
    """A session under way, in which something was recorded."""
    session = RecordingSessionFactory(status=Status.UNDER_WAY)
    TakeFactory(part__song__project=session.project, session=session)
    return session


def test_copy_is_logged_and_verified(client_of, assistant, copy):
    client = client_of(assistant)
    sent = {"medium": copy.medium.pk, "holds": "all", "folder": "/Ninth Tide", "kept_until": ""}

    client.post(page("copy_create", copy.project), sent)
    made = MediaCopy.objects.get(holds="all")
    client.post(page("verify", made), {"seen": made.version, "how": "checksums compared"})

    made.refresh_from_db()
    assert (made.verified_by, made.verified_how) == (assistant, "checksums compared")
    sent |= {"seen": made.version, "folder": "/Elsewhere"}
    client.post(page("copy_edit", made), sent)
    made.refresh_from_db()
    assert (made.folder, made.verified_at) == ("/Elsewhere", None)  # what was verified lay there


def test_wrapping_asks_for_two_verified_copies(client_of, assistant, recorded):
    project = recorded.project
    verified(project=project, session=recorded)
    MediaCopyFactory(project=project, session=recorded)  # not verified
    client = client_of(assistant)
    status = reverse("bookings:status", args=[recorded.pk])

    answer = client.post(status, {"to": "wrapped"})
    recorded.refresh_from_db()
    assert (len(answer.context["doubts"]), recorded.status) == (1, Status.UNDER_WAY)
    client.post(status, {"to": "wrapped", "is_sure": "1"})
    recorded.refresh_from_db()
    assert recorded.status == Status.WRAPPED

    verified(project=project, session=recorded)
    assert doubts_about_wrapping(recorded) == []


def test_copies_of_before_the_session_or_on_one_medium_do_not_count(recorded):
    medium = MediumFactory()
    for _ in range(2):
        verified(project=recorded.project, session=recorded, medium=medium)
    before = recorded.starts_at - timedelta(hours=1)
    MediaCopyFactory(project=recorded.project, verified_at=before)

    assert len(doubts_about_wrapping(recorded)) == 1
    assert doubts_about_wrapping(RecordingSessionFactory()) == []  # nothing was recorded


@pytest.mark.parametrize(
    ("kinds", "off_site", "warnings"),
    [
        ((), False, 3),
        (("disc", "disc", "disc"), False, 2),
        (("disc", "disc", "tape"), False, 1),
        (("disc", "tape"), True, 1),
        (("disc", "disc", "tape"), True, 0),
    ],
)
def test_three_copies_two_kinds_of_medium_one_off_site(kinds, off_site, warnings):
    copies = [verified(medium=MediumFactory(kind=MediumKind(kind))) for kind in kinds]
    if off_site:
        copies[-1].medium.is_off_site = True

    assert len(warnings_about_copies(copies)) == warnings


def test_database_lets_nothing_be_removed_before_the_client_was_told(copy):
    with pytest.raises(IntegrityError):
        MediaCopy.objects.filter(pk=copy.pk).update(removed_at=timezone.now())


def test_client_is_told_by_letter_and_then_the_copy_may_go(client_of, manager, engineer, copy):
    client = client_of(manager)
    remove = page("remove", copy)

    client.post(remove, {"seen": copy.version})
    copy.refresh_from_db()
    assert copy.removed_at is None
    client.post(page("tell", copy), {"seen": copy.version, "text": "It goes.", "otherwise": ""})
    copy.refresh_from_db()
    letter = Letter.objects.about_thing(copy).get()
    assert (letter.to, letter.text, copy.told_by) == ("label@example.org", "It goes.\n", manager)
    assert client_of(engineer).post(remove, {"seen": copy.version}).status_code == 403
    client_of(manager).post(remove, {"seen": copy.version})

    copy.refresh_from_db()
    assert copy.removed_by == manager


def test_copy_stays_for_as_long_as_it_was_promised(client_of, manager, copy):
    today = timezone.localdate()
    MediaCopy.objects.filter(pk=copy.pk).update(
        kept_until=today + timedelta(days=1), told_at=timezone.now()
    )
    client = client_of(manager)
    sent = {"medium": copy.medium.pk, "holds": copy.holds, "seen": copy.version}

    client.post(page("remove", copy), {"seen": copy.version})
    answer = client.post(page("copy_edit", copy), sent | {"kept_until": today.isoformat()})

    copy.refresh_from_db()
    assert list(answer.context["form"].errors) == ["kept_until"]
    assert (copy.removed_at, copy.kept_until) == (None, today + timedelta(days=1))


def test_client_without_an_address_is_told_another_way(client_of, manager):
    copy = MediaCopyFactory()
    client, tell = client_of(manager), page("tell", copy)
    sent = {"seen": copy.version, "text": "It goes."}

    answer = client.post(tell, sent)
    assert answer.context["form"].non_field_errors()
    client.post(tell, sent | {"otherwise": "by telephone"})

    copy.refresh_from_db()
    assert (copy.told_how, Letter.objects.exists()) == ("by telephone", False)


def test_whoever_receives_something_signs_by_name(client_of, assistant, copy):
    client = client_of(assistant)
    sent = {
        "what": "Drive with all sessions",
        "medium": copy.medium.pk,
        "signed_by": "Corin Strake",
    }

    client.post(page("handover_create", copy.project), sent)

    made = Handover.objects.get()
    assert (made.signed_by, made.handed_by, made.medium) == ("Corin Strake", assistant, copy.medium)
    receipt = client.get(page("receipt", made))
    assert receipt["Content-Type"] == "application/pdf"
    b"".join(receipt.streaming_content)


@pytest.mark.parametrize("count", [1, 3])
def test_project_page_costs_the_same_queries(
    client_of, engineer, django_assert_num_queries, copy, count
):
    project = copy.project
    for _ in range(count):
        verified(project=project, session=RecordingSessionFactory(project=project))
        WorkstationFileFactory(project=project)
        IncomingMaterialFactory(project=project)
        HandoverFactory(project=project)
    client = client_of(engineer)

    with django_assert_num_queries(7):
        client.get(page("project", project))
    with django_assert_num_queries(5):
        client.get(page("medium", copy.medium))
