"""The line and the challenge on a session's page, the page that challenges, the house's rules."""

from datetime import timedelta

import pytest
from django.urls import reverse

from sessions.bookings.actions import set_status
from sessions.bookings.challenges.actions import challenge_hold, lapse_due
from sessions.bookings.models import Challenge, ChallengeOutcome, RecordingSession, Status
from sessions.rooms.models import HouseRules
from studio.roles import Role
from tests.factories import ProjectFactory, RoomFactory, UserFactory
from tests.sessions.bookings.challenges.lines import ASKED, at, line_of_holds, standings

pytestmark = pytest.mark.django_db
DEADLINE = ASKED + timedelta(hours=24)


@pytest.fixture(autouse=True)
def _in_may():
    with at(ASKED):
        yield


@pytest.fixture
def line(manager):
    return line_of_holds(manager, "First", "Second", "Third")


def page_of(client, session):
    return client.get(session.get_absolute_url())


def challenge_url(session):
    return reverse("holds:challenge", args=[session.pk])


def places(page):
    return [
        (str(place.reservation.session), place.is_own, place.may_be_challenged)
        for _, line in page.context["standing"].lines
        for place in line
    ]


def test_page_shows_who_stands_where_and_whom_it_may_challenge(client_of, manager, line):
    page = page_of(client_of(manager), line[2])

    assert places(page) == [
        ("First", False, True),
        ("Second", False, False),
        ("Third", True, False),
    ]
    assert f'href="{challenge_url(line[2])}?hold={line[0].pk}"' in page.text
    assert "This session</strong>, third hold" in page.text


def test_page_of_the_first_offers_no_challenge(client_of, manager, line):
    page = page_of(client_of(manager), line[0])

    assert not any(may for _, _, may in places(page))
    assert challenge_url(line[0]) not in page.text


def test_engineer_sees_the_line_and_no_button(client_of, engineer, line):
    page = page_of(client_of(engineer), line[1])

    assert "First" in page.text
    assert challenge_url(line[1]) not in page.text


def test_mix_engineer_sees_no_challenge_by_a_project_of_others(
    client_of, mix_engineer, manager, mixed_project
):
    room = RoomFactory()
    [own] = line_of_holds(manager, "Own", room=room, project=mixed_project)
    [other] = line_of_holds(manager, "Other", room=room, project=ProjectFactory())
    challenge_hold(own, challenger=other, by=manager)

    page = page_of(client_of(mix_engineer), own)

    assert "Other" not in page.text
    assert "Confirm or release by" not in page.text


@pytest.mark.parametrize("count", [1, 3])
def test_page_costs_the_same_with_any_line(client_of, manager, count, django_assert_num_queries):
    line = line_of_holds(manager, *(f"Hold {n}" for n in range(count + 1)))
    for _ in range(count):
        challenge = challenge_hold(line[0], challenger=line[1], by=manager)
        challenge.outcome = ChallengeOutcome.WITHDRAWN
        challenge.save()
    challenge_hold(line[0], challenger=line[1], by=manager)
    client = client_of(manager)
    page_of(client, line[0])

    with django_assert_num_queries(16):
        page = page_of(client, line[0])

    assert len(places(page)) == count + 1


# Challenge


def test_challenge_page_starts_with_the_hold_of_the_button(client_of, manager, line):
    page = client_of(manager).get(challenge_url(line[1]), {"hold": line[0].pk})

    assert str(page.context["form"]["hold"].value()) == str(line[0].pk)
    assert "The holder has 24 hours to confirm or release." in page.text


def test_challenge_is_made_and_said_on_both_pages(client_of, manager, line):
    client = client_of(manager)

    said = client.post(challenge_url(line[1]), {"hold": line[0].pk}, follow=True)

    assert Challenge.objects.get().deadline == DEADLINE
    assert "First has to be confirmed or released by Thu 21 May 2026, 10:00." in said.text
    assert "Withdraw challenge" in said.text
    asked = page_of(client, line[0]).text
    assert "Confirm or release by" in asked
    assert "Second</a>" in asked
    assert not any(may for _, _, may in places(page_of(client, line[2])))


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("", "Choose the hold that is to be confirmed or released."),
        ("999999", "That hold is no longer ahead of this session."),
        ("x", "That hold is no longer ahead of this session."),
    ],
)
def test_challenge_of_no_hold_is_refused_beside_the_field(client_of, manager, line, typed, why):
    page = client_of(manager).post(challenge_url(line[1]), {"hold": typed})

    assert page.context["form"].errors == {"hold": [why]}
    assert not Challenge.objects.exists()


def test_challenge_that_the_rule_refuses_is_said_beside_the_field(client_of, manager, line):
    with at(line[0].starts_at - timedelta(hours=3)):
        page = client_of(manager).post(challenge_url(line[1]), {"hold": line[0].pk})

    [why] = page.context["form"].errors["hold"]
    assert "in less than the 24 hours" in why
    assert page.context["form"]["hold"].value() == str(line[0].pk)


def test_challenge_page_of_a_first_hold_says_that_there_is_none(client_of, manager, line):
    page = client_of(manager).get(challenge_url(line[0]))

    assert "No hold to challenge" in page.text
    assert "<form" not in page.text.split("<main")[1].split("</main>")[0]


def test_challenge_is_taken_back(client_of, manager, line):
    challenge = challenge_hold(line[0], challenger=line[1], by=manager)
    url = reverse("holds:withdraw", args=[challenge.pk])

    page = client_of(manager).post(url, follow=True)
    again = client_of(manager).post(url, follow=True)

    challenge.refresh_from_db()
    assert challenge.outcome == ChallengeOutcome.WITHDRAWN
    assert "Challenge to First withdrawn." in page.text
    assert "This challenge is over" in again.text


# After the deadline


@pytest.mark.parametrize(
    "page", ["bookings:list", "bookings:detail", "bookings:edit", "holds:challenge", "home"]
)
def test_page_that_is_read_changes_nothing_after_the_deadline(client_of, manager, line, page):
    challenge_hold(line[0], challenger=line[1], by=manager)
    client = client_of(manager)
    args = [] if page in {"bookings:list", "home"} else [line[1].pk]

    with at(DEADLINE):
        client.get(reverse(page, args=args))

    assert standings(*line) == ["first hold", "second hold", "third hold"]


def test_pages_say_by_the_clock_that_a_hold_has_lapsed(client_of, manager, line):
    challenge_hold(line[0], challenger=line[1], by=manager)

    before = page_of(client_of(manager), line[0]).text
    with at(DEADLINE):
        client = client_of(manager)
        after = page_of(client, line[0]).text
        listed = client.get(reverse("bookings:list")).text

    assert ("lapsed hold" in before, "lapsed hold" in after) == (False, True)
    assert "it has lapsed, and the holds behind it move up" in after
    assert listed.count("lapsed hold") == 1


def test_time_of_a_hold_that_has_lapsed_may_be_confirmed_at_once(client_of, manager, line):
    challenge_hold(line[0], challenger=line[1], by=manager)

    with at(DEADLINE):
        client_of(manager).post(reverse("bookings:status", args=[line[1].pk]), {"to": "confirmed"})

    assert standings(*line) == ["cancelled", "confirmed", "second hold"]


def test_pages_say_that_a_hold_lapsed_and_who_has_to_confirm(client_of, manager, line):
    challenge_hold(line[0], challenger=line[1], by=manager)

    with at(DEADLINE):
        client = client_of(manager)
        lapse_due(DEADLINE)
        lapsed, winner = page_of(client, line[0]), page_of(client, line[1])

    assert "It lapsed" in lapsed.text
    assert "automatically, at the deadline" in lapsed.text
    assert "has to be confirmed at once" in winner.text
    set_status(line[1], to=Status.CONFIRMED, by=manager)
    assert "has to be confirmed at once" not in page_of(client, line[1]).text


def test_late_confirmation_from_an_open_page_is_answered_with_the_lapse(client_of, manager, line):
    challenge_hold(line[0], challenger=line[1], by=manager)

    with at(DEADLINE):
        page = client_of(manager).post(
            reverse("bookings:status", args=[line[0].pk]), {"to": "confirmed"}
        )

    assert "This session is cancelled, so it cannot become confirmed" in page.text
    assert standings(line[0]) == ["cancelled"]


def test_page_lists_the_steps_in_order(client_of, manager, line):
    set_status(line[0], to=Status.CONFIRMED, by=manager)

    page = page_of(client_of(manager), line[0])

    assert [step.status for step in page.context["status_steps"]] == ["held", "confirmed"]
    steps = page.text.split('aria-label="Status history"')[1].split("</ol>")[0]
    assert steps.index("held") < steps.index("confirmed")
    assert steps.count("Odile Marrack") == 2


# House rules

RULES = {
    "challenge_hours": "36",
    "follow_up_hours": "6",
    "reminder_hours": "24",
    "session_hours": "4",
    "currency": "EUR",
    "tax_name": "VAT",
    "tax_percent": "19.5",
    "idle_hours": "12",
    "signed_in_days": "30",
    "sound_tolerance_db": "0.5",
    "tones_bottom_hz": "80",
    "tones_top_hz": "10000",
}


def post_rules(client, **typed):
    url = reverse("rooms:house_rules")
    seen = client.get(url).context["seen"]
    return client.post(url, RULES | typed | {"seen": seen})


def test_house_rules_are_set(client_of, manager):
    response = post_rules(client_of(manager))

    rules = HouseRules.objects.get()
    assert response.status_code == 302
    assert rules.challenge_hours == 36
    assert (rules.currency, rules.tax_name, str(rules.tax_percent)) == ("EUR", "VAT", "19.50")
    assert rules.history.first().history_user == manager


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("challenge_hours", "23"),
        ("challenge_hours", "49"),
        ("challenge_hours", ""),
        ("currency", "EURO"),
        ("currency", "E1"),
        ("currency", "€"),
        ("tax_percent", "-1"),
        ("tax_percent", "100.01"),
        ("tax_percent", "NaN"),
    ],
)
def test_house_rule_that_cannot_be_is_refused_beside_its_field(client_of, manager, field, typed):
    page = post_rules(client_of(manager), **{field: typed})

    assert list(page.context["form"].errors) == [field]
    assert page.context["form"][field].value() == typed
    assert HouseRules.current().challenge_hours == 24


def test_house_rules_of_a_second_editor_show_both_versions(client_of, manager):
    client = client_of(manager)
    url = reverse("rooms:house_rules")
    seen = client.get(url).context["seen"]
    post_rules(client)

    page = client.post(url, RULES | {"challenge_hours": "48", "seen": seen})

    assert page.status_code == 409
    assert HouseRules.current().challenge_hours == 36


@pytest.mark.parametrize("role", [Role.ENGINEER, Role.ASSISTANT, Role.MIX_ENGINEER])
def test_others_neither_challenge_nor_rule(client_of, line, role):
    client = client_of(UserFactory(role=role))

    assert client.post(challenge_url(line[1]), {"hold": line[0].pk}).status_code == 403
    assert client.get(reverse("rooms:house_rules")).status_code == 403
    assert RecordingSession.objects.lapsed().count() == Challenge.objects.count() == 0
