import pytest
from django.urls import reverse
from django.utils import timezone
from lxml import html
from pytest_django.asserts import assertContains, assertNotContains, assertRedirects

from sessions.bookings.models import RecordingSession, Status
from sessions.takes.in_force import revisions_in_force
from sessions.takes.models import Mark, Take
from sessions.takes.views import ON_A_PAGE
from tests.factories import (
    ChainFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    TakeFactory,
)
from tests.sessions.recall.recorded import record
from tests.sessions.takes.seen import seen

pytestmark = pytest.mark.django_db
LIST_QUERIES = 7


@pytest.fixture
def part():
    return PartFactory(name="Lead vocal", song__title="Slow the Lantern")


@pytest.fixture
def session(part):
    return RecordingSessionFactory(project=part.song.project, status=Status.UNDER_WAY)


@pytest.fixture
def setup(session, part):
    setup = SetupFactory(session=session)
    RevisionFactory(chain=ChainFactory(setup=setup, part=part, source="Alto voice"))
    return setup


def seen_of(take):
    """As the page sends the versions of a take's parts."""
    return [f"{pk}.{version}" for pk, version in seen(take).items()]


def press_url(session):
    return reverse("takes:press", args=[session.pk])


def test_log_is_one_action_and_says_what_was_logged(client_of, assistant, session, setup, part):
    web = client_of(assistant)

    answer = web.post(
        press_url(session),
        {
            "song": part.song_id,
            "part": part.pk,
            "setup": setup.pk,
            "what": "over",
            "mark": "complete",
            "kind": "whole",
        },
        follow=True,
    )

    take = Take.objects.get()
    assert (take.number, take.revisions.count()) == (1, 1)
    assert take.take_parts.get().mark == Mark.COMPLETE
    assertContains(answer, "take 1 logged.")
    assertContains(answer, "Take 2")


def test_log_without_a_kind_is_refused_and_keeps_what_was_typed(
    client_of, assistant, session, part
):
    answer = client_of(assistant).post(
        press_url(session),
        {
            "song": part.song_id,
            "part": part.pk,
            "kind": "punch_in",
            "note": "second verse only",
            "what": "start",
        },
    )

    assert answer.status_code == 422
    assert not Take.objects.exists()
    assertContains(answer, "A punch-in needs the place where it goes in", status_code=422)
    assertContains(answer, "second verse only", status_code=422)


def test_log_refused_in_a_cancelled_session(client_of, engineer, session, part):
    session.status = Status.CANCELLED
    session.save()

    answer = client_of(engineer).post(
        press_url(session),
        {"song": part.song_id, "part": part.pk, "kind": "whole", "what": "start"},
    )

    assertContains(answer, "This session is cancelled", status_code=422)
    assert not Take.objects.exists()


def test_tracking_page_remembers_the_last_part(client_of, engineer, session, setup, part):
    TakeFactory(part=part, session=session, number=4)

    answer = client_of(engineer).get(reverse("takes:session", args=[session.pk]))

    assert answer.context["now"].parts == [part]
    assert answer.context["now"].next_number == 5


def test_tracking_page_remembers_the_setup_of_the_last_take(
    client_of, engineer, session, setup, part
):
    SetupFactory(session=session, position=2, name="Later")
    web = client_of(engineer)
    web.post(
        press_url(session),
        {"part": part.pk, "setup": setup.pk, "kind": "whole", "what": "over"},
    )

    answer = web.get(reverse("takes:session", args=[session.pk]))

    assert answer.context["now"].setup == setup


def test_tracking_page_warns_where_no_chain_is_documented(client_of, engineer, session, part):
    now = {"song": part.song_id, "part": part.pk}
    answer = client_of(engineer).get(reverse("takes:session", args=[session.pk]), now)

    assertContains(answer, "No chain is logged for these parts")


def test_mark_ends_the_rolling_take(client_of, engineer, session, part):
    take = TakeFactory(part=part, session=session, started_at=None, ended_at=None)

    answer = client_of(engineer).post(
        press_url(session), {"take": take.pk, "mark": "master", "seen": seen_of(take)}
    )

    assertRedirects(
        answer, f"{reverse('takes:session', args=[session.pk])}?song={part.song_id}&part={part.pk}"
    )
    take.refresh_from_db()
    assert take.take_parts.get().mark == Mark.MASTER
    assert not take.is_rolling


def test_mark_outside_the_legend_is_refused(client_of, engineer, session, part):
    take = TakeFactory(part=part, session=session)

    answer = client_of(engineer).post(press_url(session), {"take": take.pk, "mark": "splendid"})

    assertContains(answer, "splendid is not one of the available choices", status_code=422)


def test_second_master_tells_of_the_first(client_of, engineer, session, part):
    TakeFactory(part=part, session=session, number=1, mark=Mark.MASTER)
    take = TakeFactory(part=part, session=session, number=2)

    answer = client_of(engineer).post(
        press_url(session),
        {"take": take.pk, "mark": "master", "seen": seen_of(take)},
        follow=True,
    )

    assertContains(answer, "Lead vocal, take 1 was the master until now")


def test_circle_and_its_refusal(client_of, engineer, session, part):
    take = TakeFactory(part=part, session=session, mark=Mark.FALSE_START)
    web = client_of(engineer)

    answer = web.post(
        press_url(session),
        {"take": take.pk, "circled": "1", "seen": seen_of(take)},
    )

    assertContains(answer, "is a false start", status_code=422)
    assert not take.take_parts.get().circled


def test_edit_keeps_number_and_revisions(client_of, engineer, session, part):
    take = TakeFactory(part=part, session=session, number=3)

    client_of(engineer).post(
        reverse("takes:edit", args=[take.pk]),
        {"kind": "whole", "number": "9", "note": "breath in bar 12", "seen": take.version},
    )

    take.refresh_from_db()
    assert (take.number, take.note) == (3, "breath in bar 12")


def test_part_of_a_take_is_put_right(client_of, engineer, session, part):
    of_take = TakeFactory(part=part, session=session).take_parts.get()

    client_of(engineer).post(
        reverse("takes:edit_part", args=[of_take.pk]),
        {"mark": "hold", "grade": "4", "note": "sharp at the end", "seen": of_take.version},
    )

    of_take.refresh_from_db()
    assert (of_take.mark, of_take.grade, of_take.note) == ("hold", 4, "sharp at the end")


def test_edit_refuses_a_chosen_false_start_beside_the_field(client_of, engineer, session, part):
    of_take = TakeFactory(part=part, session=session).take_parts.get()

    answer = client_of(engineer).post(
        reverse("takes:edit_part", args=[of_take.pk]), {"mark": "false_start", "circled": "on"}
    )

    assert answer.context["form"].errors["circled"] == [
        "A false start can’t be chosen: remove one of the two."
    ]


@pytest.fixture
def seen_by_two(client_of, engineer, assistant, session, part):
    """Take 3, not marked: the assistant has its page open while the engineer marks it a hold."""
    take = TakeFactory(part=part, session=session, number=3)
    of_take = take.take_parts.get()
    client_of(engineer).post(
        press_url(session), {"take": take.pk, "mark": "hold", "seen": seen_of(take)}
    )
    return of_take


def press(of_take, page, pressed) -> tuple[str, dict]:
    """What a page that was opened at that version sends."""
    if page == "edit_part":
        return reverse("takes:edit_part", args=[of_take.pk]), pressed | {"seen": of_take.version}
    seen = f"{of_take.pk}.{of_take.version}"
    return press_url(of_take.take.session), pressed | {"take": of_take.take_id, "seen": seen}


@pytest.mark.parametrize(
    ("page", "pressed", "differences"),
    [
        ("mark", {"mark": "master"}, [("Mark", "Hold", "Master")]),
        ("circle", {"circled": "1"}, [("Circled", "no", "yes")]),
        (
            "edit_part",
            {"mark": "", "note": "breath in bar 12"},
            [("Mark", "Hold", "---------"), ("Note", "", "breath in bar 12")],
        ),
    ],
)
def test_second_of_two_at_one_part_gets_both_versions(
    client_of, assistant, seen_by_two, page, pressed, differences
):
    answer = client_of(assistant).post(*press(seen_by_two, page, pressed))

    assert answer.status_code == 409
    assert answer.context["meanwhile"].differences == differences
    seen_by_two.refresh_from_db()
    assert (seen_by_two.mark, seen_by_two.circled, seen_by_two.note) == ("hold", False, "")


def test_second_may_save_theirs_once_they_saw_the_first(client_of, assistant, seen_by_two):
    web = client_of(assistant)
    answer = web.post(*press(seen_by_two, "mark", {"mark": "master"}))
    form, context = answer.context["form"], answer.context
    typed = {name: form[name].value() or "" for name in form.fields if name != "circled"}

    web.post(context["address"], typed | {"seen": context["seen"]})

    seen_by_two.refresh_from_db()
    assert seen_by_two.mark == "master"


@pytest.mark.parametrize("seen", ["", "x", "-1", "9" * 30, "1.x", "1.-1"])
def test_press_from_a_page_that_names_no_version_changes_nothing(
    client_of, engineer, session, part, seen
):
    take = TakeFactory(part=part, session=session)

    answer = client_of(engineer).post(
        press_url(session), {"take": take.pk, "mark": "hold", "seen": seen}
    )

    assert answer.status_code == 409
    assert take.take_parts.get().mark == ""


def test_mix_engineer_sees_only_named_projects_and_no_log_buttons(
    client_of, mix_engineer, mixed_project, session
):
    theirs = RecordingSessionFactory(project=mixed_project)
    part = PartFactory(song__project=mixed_project)
    web = client_of(mix_engineer)

    assert web.get(reverse("takes:session", args=[session.pk])).status_code == 404
    now = {"song": part.song_id, "part": part.pk}
    answer = web.get(reverse("takes:session", args=[theirs.pk]), now)
    assertNotContains(answer, "Start take")


def test_tracking_page_names_what_a_take_would_be_recorded_through(
    client_of, engineer, session, setup, part
):
    """[voice] and [room, of no part] are in force; [fiddle] and [voice, struck] are not."""
    RevisionFactory(chain=ChainFactory(setup=setup))
    RevisionFactory(chain=ChainFactory(setup=setup, part=PartFactory(song=part.song)))
    RevisionFactory(chain=ChainFactory(setup=setup, part=part, struck_at=timezone.now()))
    now = {"song": part.song_id, "part": part.pk, "setup": setup.pk}

    page = client_of(engineer).get(reverse("takes:session", args=[session.pk]), now)

    named = [revision.pk for revision in page.context["now"].in_force]
    assert len(named) == 2
    assert named == [revision.pk for revision in revisions_in_force(setup, [part])]


@pytest.mark.parametrize("count", [1, 3])
def test_tracking_page_costs_the_same_for_any_number_of_takes(
    client_of, engineer, session, setup, part, count, django_assert_num_queries
):
    for number in range(count):
        take = TakeFactory(part=part, session=session, number=number + 1)
        revision = RevisionFactory(chain__setup=setup, chain__part=part)
        record(take, revision)
    web = client_of(engineer)

    with django_assert_num_queries(27):
        web.get(
            reverse("takes:session", args=[session.pk]), {"song": part.song_id, "setup": setup.pk}
        )


@pytest.mark.parametrize("page", ["takes:session_list", "takes:song_list"])
def test_lists_of_takes_go_on_with_older_ones(client_of, engineer, session, part, page):
    logged = [TakeFactory(part=part, session=session, number=n) for n in range(1, ON_A_PAGE + 3)]
    of = {"takes:session_list": session, "takes:song_list": part.song}[page]
    web, address = client_of(engineer), reverse(page, args=[of.pk])

    newest = web.get(address).context
    older = web.get(address, {"before": newest["older"]}).context

    assert newest["takes"] == logged[:1:-1]
    assert (older["takes"], older["older"]) == (logged[1::-1], None)


@pytest.mark.parametrize("page", ["takes:session_list", "takes:song_list"])
def test_lists_of_takes_cost_the_same_at_any_length(
    client_of, engineer, session, part, page, django_assert_num_queries
):
    of = {"takes:session_list": session, "takes:song_list": part.song}[page]
    web, address = client_of(engineer), reverse(page, args=[of.pk])
    for count in (1, 3):
        while Take.objects.count() < count:
            TakeFactory(part=part, session=session, number=Take.objects.count() + 1)
        with django_assert_num_queries(LIST_QUERIES):
            web.get(address)


def test_wrapped_session_is_reopened_from_the_tracking_page(client_of, engineer, session, part):
    RecordingSession.objects.filter(pk=session.pk).update(status=Status.WRAPPED)
    web, address = client_of(engineer), reverse("takes:session", args=[session.pk])
    [form] = [
        form
        for form in html.fromstring(web.get(address).content).forms
        if form.action == reverse("bookings:status", args=[session.pk])
    ]

    answer = web.post(form.action, dict(form.form_values()))

    session.refresh_from_db()
    assert (answer.url, session.status) == (address, Status.UNDER_WAY)
