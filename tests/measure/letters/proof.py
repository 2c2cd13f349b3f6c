"""`python -m tests.measure long letters`: every change tells whom it concerns, once, and every calendar
ends as the schedule is."""

import logging
import random
from collections import Counter
from dataclasses import dataclass, field
from unittest.mock import patch

from django.core.exceptions import ValidationError
from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.bookings.telling import NONE, TELL_NOBODY, Choices, telling
from sessions.calendar.feeds.contents import feed_file
from sessions.calendar.feeds.models import FeedAddress
from sessions.clients.models import Person
from sessions.ical.names import name_of
from sessions.letters.actions import send_again, why_not_again
from sessions.letters.models import Letter, LetterState, LetterTopic
from sessions.letters.sending import send
from sessions.tasks.models import Worker
from tests.mail_server import MailServer, mail_server
from tests.measure.letters.changes import Changes
from tests.measure.letters.readers import Readers
from tests.measure.letters.world import World, all_of, schedule

EACH = 12  # changes between the beginnings of two troubles
LASTS = 4  # changes
DEAD, CHOOSY, SLOW, CUT = "dead", "choosy", "slow", "cuts the line"
TROUBLES = (DEAD, CHOOSY, SLOW, CUT)
PATIENCE = 0.5  # s, how long the studio waits for an answer
HEARD = (LetterState.WAITING, LetterState.SENT)


@dataclass
class Verdict:
    """How often what was changed, how many letters came of it, and what went wrong."""

    changes: Counter
    letters: int
    applied: Counter  # what calendars did with what they read
    troubles: Counter
    wrong: list[str]

    @property
    def holds(self) -> bool:
        return not self.wrong

    def __str__(self) -> str:
        rows = {
            "changes": ", ".join(f"{many} × {what}" for what, many in self.changes.most_common()),
            "letters": self.letters,
            "calendars": ", ".join(f"{many} {what}" for what, many in self.applied.most_common()),
            "mail server": ", ".join(f"{many} × {what}" for what, many in self.troubles.items()),
            "wrong": "\n".join(self.wrong[:20]) or "nothing",
            "holds": self.holds,
        }
        return "\n".join(f"{name:16} {value}" for name, value in rows.items())


def prove(count: int, seed: int) -> Verdict:
    logging.getLogger("sessions.letters").setLevel(logging.ERROR)  # it would say what we caused
    # Papers are not what is proved, and take a while to set.
    paper = patch("sessions.letters.making.import_string", return_value=lambda key: b"%PDF-1.7\n")
    with mail_server(timeout=PATIENCE) as server, paper:
        return Proof(World.make(), Readers(server), random.Random(seed)).run(count)


@dataclass
class Proof:
    """`behind`: by address the UIDs of sessions of which somebody was left out, until they are told."""

    world: World
    readers: Readers
    chance: random.Random
    changes: Counter = field(default_factory=Counter)
    troubles: Counter = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    behind: set[tuple[str, str]] = field(default_factory=set)
    said: dict[int, dict[int, tuple]] = field(default_factory=dict)  # by letter and session
    acted: dict[str, int] = field(default_factory=dict)  # by address the letter before it did

    def run(self, count: int) -> Verdict:
        making = Changes(self.world, self.chance)
        for number in range(count):
            self._look_after_the_server(number)
            self._look_after_the_worker()
            what = self._change(making, number)
            self._read(what, compare=self._all_is_told)
        self._mend()
        self._read("mended")
        self._tell_who_was_left_out()
        self._read("the end")
        self._check_the_end()
        letters, applied = len(self.readers.ids), self.readers.applied
        return Verdict(self.changes, letters, applied, self.troubles, self.wrong)

    @property
    def server(self) -> MailServer:
        return self.readers.server

    # --- what happens -----------------------------------------------------------------------------

    def _look_after_the_server(self, number: int) -> None:
        place = number % EACH
        if place == EACH - LASTS:
            self._trouble(TROUBLES[number // EACH % len(TROUBLES)])
        elif place == 0:
            self._mend()

    def _trouble(self, kind: str) -> None:
        self.troubles[kind] += 1
        if kind == DEAD:
            self.server.stop()
        elif kind == CHOOSY and (addresses := sorted(schedule())):
            self.server.refused[self.chance.choice(addresses)] = "550 5.1.1 No such mailbox here"
        elif kind == SLOW:
            self.server.delay = 2 * PATIENCE
        elif kind == CUT:
            self.server.cuts = LASTS

    def _look_after_the_worker(self) -> None:
        """While one is alive, letters wait for it, and what changes meanwhile changes them."""
        if self.chance.random() < 0.3:
            Worker.objects.all().delete()
            send(Letter.objects.waiting())
        elif self.chance.random() < 0.3:
            Worker.objects.sign("proof")

    def _mend(self) -> None:
        """The server is back: what waits goes, and what it refused is sent again by one press."""
        self.server.refused.clear()
        self.server.delay = self.server.cuts = 0
        self.server.stop()
        self.server.start()
        send(Letter.objects.waiting())
        for letter in Letter.objects.filter(state=LetterState.FAILED).order_by("pk"):
            try:
                send_again(letter, by=self.world.users[0])
            except ValidationError:
                continue  # its reader has been told something newer
        send(Letter.objects.waiting())

    def _change(self, making: Changes, number: int) -> str:
        by, choices, before = self.chance.choice(self.world.users), self._choices(), schedule()
        last = Letter.objects.order_by("-pk").values_list("pk", flat=True).first() or 0
        if choices != NONE:  # as a page does; else as a shell or the worker, which opens none
            with telling(by=by, choices=choices):
                what = making.make(by)
        else:
            what = making.make(by)
        self.changes[what] += 1
        if choices != NONE:
            self._note_who_was_left_out(choices, before, schedule())
        written = Letter.objects.filter(pk__gt=last).exclude(state=LetterState.REPLACED)
        what = f"change {number}, {what} by {by}"
        self._check_written(list(written), what)
        self.acted[self._address_of(by)] = last
        return what

    def _address_of(self, user) -> str:
        person = Person.objects.filter(user=user).first()
        return (person or user).email.lower()

    def _note_who_was_left_out(self, choices: Choices, before: dict, after: dict) -> None:
        for address in before.keys() | after.keys():
            was, now = before.get(address, {}), after.get(address, {})
            if choices.leave_out(address):
                self.behind |= {
                    (address, uid)
                    for uid in was.keys() | now.keys()
                    if was.get(uid) != now.get(uid)
                }

    def _choices(self) -> Choices:
        roll = self.chance.random()
        if roll < 0.05:
            return TELL_NOBODY
        if roll < 0.12:
            return Choices(left_out=frozenset([self.chance.choice(sorted(schedule()) or [""])]))
        return NONE

    def _tell_who_was_left_out(self) -> None:
        with telling(by=self.world.users[0]) as told:
            told.touched(*RecordingSession.objects.all())
        send(Letter.objects.waiting())

    # --- what must hold ---------------------------------------------------------------------------

    @property
    def _all_is_told(self) -> bool:
        """Nothing waits, and what failed its readers have been told by something newer."""
        failed = Letter.objects.filter(state=LetterState.FAILED)
        return not Letter.objects.waiting().exists() and all(map(why_not_again, failed))

    def _check_written(self, letters: list[Letter], what: str) -> None:
        """One letter to each address, and none that says what its reader has heard."""
        twice = [
            to for to, many in Counter(each.to.lower() for each in letters).items() if many > 1
        ]
        self.wrong += [f"{what}: two letters to {to}" for to in twice]
        for letter in letters:
            now = {topic.about_id: all_of(topic.about) for topic in letter.topics.all()}
            self.said[letter.pk] = now
            self.behind -= {
                (letter.to.lower(), name_of(topic.about, self.world.house))
                for topic in letter.topics.all()
            }
            if all(self._heard(letter, key) == facts for key, facts in now.items()):
                self.wrong.append(f"{what}: {letter} says nothing new")

    def _heard(self, letter: Letter, session: int) -> tuple | None:
        """What the letter before it, to the same address, said of the session; None where there is
        none, or its reader has changed something since, and knows."""
        earlier = LetterTopic.objects.filter(
            about_id=session,
            letter__to__iexact=letter.to,
            letter__pk__lt=letter.pk,
            letter__state__in=HEARD,
        )
        before = earlier.order_by("-letter").values_list("letter", flat=True).first()
        if before is None or self.acted.get(letter.to.lower(), 0) >= before:
            return None
        return self.said[before][session]

    def _read(self, when: str, *, compare: bool = True) -> None:
        """A calendar that differs is said once."""
        self.wrong += [f"{when}: {each}" for each in self.readers.read()]
        if compare:
            for address, uid, words in self.readers.differences(schedule(), self.behind):
                self.behind.add((address, uid))
                self.wrong.append(f"{when}, {words}")

    def _check_the_end(self) -> None:
        """Nobody is left out, nothing waits, and feeds say the same."""
        self.wrong += [f"left behind: {each}" for *_, each in self.readers.differences(schedule())]
        self.wrong += self.readers.came_twice()
        feed, _ = FeedAddress.make(by=self.world.users[0], whole_house=True)
        self.wrong += self.readers.differences_from_feed(feed_file(feed, now=timezone.now()))
        for letter in Letter.objects.not_sent():
            if not why_not_again(letter):
                self.wrong.append(f"{letter} was never sent: {letter.error}")
