"""The machine's clock is set back or ahead by a day while the studio works: nothing waits for a day, and
nothing is swept away for it. Common practice, no source."""

from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse

from sessions.letters.models import Letter, LetterState
from sessions.letters.sending import send
from sessions.links.models import WRONG_GUESSES, WrongGuess
from sessions.papers.stored.models import StoredPaper
from sessions.recall.finding.models import SearchText
from sessions.recall.finding.upkeep import bring_up_to_date
from sessions.setups.models import Revision
from sessions.takes.actions import end_take, log_take
from sessions.takes.in_force import changed_in_place
from sessions.tasks.models import Worker
from studio.joining.actions import MOST_ASKED, send_forgotten
from studio.working.regular import Job, RegularWork
from tests.factories import (
    PASSWORD,
    TEN_O_CLOCK,
    LetterFactory,
    PartFactory,
    RevisionFactory,
    SongFactory,
    StageFactory,
)

pytestmark = pytest.mark.django_db
DAY, MINUTE = timedelta(days=1), timedelta(minutes=1)


@pytest.fixture
def clock():
    """Stands at ten o’clock until a test moves it."""
    with time_machine.travel(TEN_O_CLOCK, tick=False) as clock:
        yield clock


def work_with(done, **every):
    jobs = (
        Job(each, lambda since, now, name=name: done.append((name, now - since)))
        for name, each in every.items()
    )
    return RegularWork(tuple(jobs))


@pytest.mark.parametrize("by", [-DAY, DAY])
def test_regular_work_goes_on_and_the_sweep_comes_an_hour_later(clock, by, caplog):
    done = []
    work = work_with(done, send=2 * MINUTE, tidy=timedelta(hours=1))
    Worker.objects.sign("w")
    work.do_due("w")
    clock.shift(by)
    Worker.objects.sign("w")
    done.clear()

    work.do_due("w")

    assert done == [("send", 2 * MINUTE)]
    assert "The clock was set" in caplog.text
    for _ in range(30):
        clock.shift(2 * MINUTE)
        Worker.objects.sign("w")
        work.do_due("w")
    assert [name for name, _ in done].count("tidy") == 1


def test_clock_that_is_set_by_a_little_keeps_nothing_waiting(clock):
    done = []
    work = work_with(done, send=MINUTE)
    Worker.objects.sign("w")
    work.do_due("w")
    clock.shift(-MINUTE)

    work.do_due("w")

    assert len(done) == 2


def test_sign_of_life_from_the_time_before_is_none(clock):
    Worker.objects.create(name="gone", host="elsewhere", pid=1, signed_at=TEN_O_CLOCK)
    assert Worker.objects.alive()

    clock.shift(-DAY)

    assert Worker.objects.alive() == []


def test_letters_go_in_the_order_in_which_they_were_written(clock, mailoutbox):
    first = LetterFactory(to="ines@oakum.example", subject="One", written_at=TEN_O_CLOCK)
    clock.shift(-DAY)
    second = LetterFactory(
        to="ines@oakum.example", subject="Two", written_at=TEN_O_CLOCK - DAY + MINUTE
    )

    send(Letter.objects.all())

    assert [mail.subject for mail in mailoutbox] == ["One", "Two"]
    assert first.pk < second.pk


def test_letter_that_was_to_wait_a_minute_does_not_wait_a_day(clock, mailoutbox):
    LetterFactory(written_at=TEN_O_CLOCK, not_before=TEN_O_CLOCK + MINUTE)
    clock.shift(MINUTE / 2)
    send(Letter.objects.all())
    assert mailoutbox == []

    clock.shift(-DAY)
    send(Letter.objects.all())

    assert len(mailoutbox) == 1


def test_letter_of_a_killed_sender_is_taken_up(clock):
    letter = LetterFactory(taken_up_at=TEN_O_CLOCK)
    clock.shift(-DAY)

    send(Letter.objects.all())

    letter.refresh_from_db()
    assert letter.state == LetterState.SENT


def test_paper_that_was_wanted_is_wanted_again(clock):
    paper = StoredPaper.objects.create(kind="k", subject=1, size="A4", wanted_at=TEN_O_CLOCK)
    assert not StoredPaper.objects.unwanted().exists()

    clock.shift(-DAY)

    assert StoredPaper.objects.unwanted().get() == paper


def test_wrong_guesses_lock_nobody_out_for_a_day(clock):
    WrongGuess.objects.bulk_create(
        WrongGuess(client="192.0.2.7", at=TEN_O_CLOCK) for _ in range(WRONG_GUESSES)
    )
    assert WrongGuess.objects.too_many("192.0.2.7", TEN_O_CLOCK)

    assert not WrongGuess.objects.too_many("192.0.2.7", TEN_O_CLOCK - DAY)
    assert WrongGuess.objects.forget_old(TEN_O_CLOCK - DAY) == WRONG_GUESSES


def test_wrong_passwords_pause_nobody_for_a_day(clock, client, engineer, settings):
    settings.AXES_ENABLED = True
    facts = {"username": engineer.username, "password": PASSWORD}
    for _ in range(settings.AXES_FAILURE_LIMIT):
        last = client.post(reverse("login"), facts | {"password": "guesswork"})
    assert last.status_code == 429

    clock.shift(-DAY)

    assert client.post(reverse("login"), facts).url == reverse("home")


def test_link_can_be_asked_for_after_the_clock_was_set_back(clock, engineer):
    engineer.email = "ulric@quay-steps.example"
    engineer.save()
    for _ in range(MOST_ASKED + 1):
        send_forgotten.call(engineer.email, "https://studio.example/TOKEN")
    assert engineer.password_links.count() == MOST_ASKED

    clock.shift(-DAY)
    send_forgotten.call(engineer.email, "https://studio.example/TOKEN")

    assert engineer.password_links.count() == MOST_ASKED + 1


def test_what_is_sought_follows_changes(clock):
    song = SongFactory(title="Slow the Lantern")
    bring_up_to_date()
    song.title = "Neap and Spring"
    song.save()
    clock.shift(-DAY)

    bring_up_to_date()
    assert "neap" in sought(song)
    song.title = "Seven Bells Round"
    song.save()
    clock.shift(MINUTE)
    bring_up_to_date()

    assert "bells" in sought(song)


def test_take_that_came_late_goes_through_what_stood_before_the_clock_was_set_back(clock):
    stage = StageFactory(revision__number=1)
    newest = RevisionFactory(chain=stage.revision.chain, number=2)
    clock.shift(-DAY)
    pressed = TEN_O_CLOCK - DAY - MINUTE

    assert Revision.objects.newest(pressed).get() == newest
    assert changed_in_place([stage.revision], after=pressed) == set()


def test_take_that_rolls_while_the_clock_is_put_right_goes_through_no_older_revision(clock):
    clock.shift(-DAY / 2)
    chain = RevisionFactory(number=1).chain
    RevisionFactory(chain=chain, number=2)
    clock.shift(-DAY / 2)
    session = chain.setup.session
    part = PartFactory(song__project=session.project)
    take = log_take(part, session=session, setup=chain.setup, rolling=True)
    clock.shift(DAY)

    end_take(take)

    assert [each.revision.number for each in take.through.all()] == [2]


def sought(song) -> str:
    text = SearchText.objects.get(kind="song", subject=song.pk)
    return f"{text.own} {text.around}".lower()
