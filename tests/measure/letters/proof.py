"""`python -m tests.measure long letters`: every change tells whom it concerns, once, and every calendar
ends as the schedule is."""

import logging
import random
from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from email import policy
from email.message import EmailMessage
from unittest.mock import patch

from django.core.exceptions import ValidationError
from django.utils import timezone
from icalendar import Calendar

from sessions.bookings.models import RecordingSession
from sessions.bookings.telling import NONE, TELL_NOBODY, Choices, telling
from sessions.calendar.feeds.contents import feed_file
from sessions.calendar.feeds.models import FeedAddress
from sessions.ical.names import name_of
from sessions.letters.actions import send_again
from sessions.letters.models import Letter, LetterState, LetterTopic
from sessions.letters.sending import send
from sessions.tasks.models import Worker
from tests.itip_reader import CalendarOf, Refused
from tests.mail_server import MailServer, mail_server
from tests.measure.letters.changes import Changes
from tests.measure.letters.world import REASON, SENDER, World, all_of, schedule

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
    paper = patch("sessions.letters.making.import_string", return_value=lambda key: b"%PDF-1.7\n")
    with (
        mail_server(timeout=PATIENCE) as server,
        paper,
    ):  # papers are not what is proved, and take a while to set
        return Proof(World.make(), server, random.Random(seed)).run(count)


@dataclass
class Proof:
    """`behind`: by address the UIDs of sessions of which somebody was left out, until they are told."""

    world: World
    server: MailServer
    chance: random.Random
    changes: Counter = field(default_factory=Counter)
    applied: Counter = field(default_factory=Counter)
    troubles: Counter = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    calendars: dict[str, CalendarOf] = field(default_factory=dict)
    behind: set[tuple[str, str]] = field(default_factory=set)
    said: dict[int, dict[int, tuple]] = field(default_factory=dict)  # by letter and session
    read: int = 0  # of what the server took
    ids: Counter = field(default_factory=Counter)

    def run(self, count: int) -> Verdict:
        making = Changes(self.world, self.chance)
        for number in range(count):
            self._look_after_the_server(number)
            self._look_after_the_worker()
            what = self._change(making, number)
            self._read_letters(what)
            if self._all_is_told:
                self._compare(what, but_for=self.behind)
        self._mend()
        self._read_letters("mended")
        self._compare("mended", but_for=self.behind)
        self._tell_who_was_left_out()
        self._read_letters("the end")
        self._compare("the end")
        self._compare_feeds()
        self._compare_times_told()
        return Verdict(
            self.changes, len(self.server.taken), self.applied, self.troubles, self.wrong
        )

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
        self._read_letters("before it was mended")
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
        return what

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
        return not Letter.objects.not_sent().exists()

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
        """What the letter before it, to the same address, said of the session."""
        earlier = LetterTopic.objects.filter(
            about_id=session,
            letter__to__iexact=letter.to,
            letter__pk__lt=letter.pk,
            letter__state__in=HEARD,
        )
        before = earlier.order_by("-letter").values_list("letter", flat=True).first()
        return self.said[before][session] if before else None

    def _read_letters(self, when: str) -> None:
        """By whom they are for, as a calendar program does."""
        new, self.read = self.server.taken[self.read :], len(self.server.taken)
        for to, message in new:
            key = message["Message-ID"]
            self.ids[key] += 1
            if self.ids[key] == 1:
                self.wrong += [
                    f"{when}, to {to}: {each}" for each in self._read(to.lower(), message)
                ]

    def _read(self, address: str, letter: EmailMessage) -> Iterator[str]:
        calendar = self.calendars.setdefault(address, CalendarOf(address))
        try:
            done = calendar.read(letter.as_bytes(policy=policy.SMTP))
        except Refused as refused:
            yield f"{refused}"
            return
        kinds = {part.get_content_type() for part in letter.walk() if not part.is_multipart()}
        if not {"text/plain", "text/html"} <= kinds:
            yield f"is of {sorted(kinds)}"
        for text in (letter.get_body(["plain"]), letter.get_body(["html"])):
            if REASON in text.get_content():
                yield "says why somebody cannot come"
        if SENDER not in letter["From"]:
            yield f"is from {letter['From']}"
        self.applied.update(each.what for each in done)
        for each in done:
            if each.what in {"stale", "unknown"}:
                yield f"{each.what} {each.method}: {letter['Subject']}"
        if len({each.uid for each in done}) < len(done):
            yield f"says two things of one session: {letter['Subject']}"

    def _compare(self, when: str, but_for: Collection[tuple[str, str]] = ()) -> None:
        """Every calendar is the schedule, but for what somebody was left out of."""
        wanted = schedule()
        for address in wanted.keys() | self.calendars.keys():
            has = self.calendars[address].entries if address in self.calendars else {}
            should = wanted.get(address, {})
            for uid in should.keys() | has.keys():
                if (address, uid) not in but_for and should.get(uid) != has.get(uid):
                    self.behind.add((address, uid))  # said once
                    self.wrong.append(
                        f"{when}, {address}: has {has.get(uid)}, should have {should.get(uid)}"
                    )

    def _compare_feeds(self) -> None:
        """The feed of the house says of each session what everybody's letters said, under one UID."""
        feed, _ = FeedAddress.make(by=self.world.users[0], whole_house=True)
        events = Calendar.from_ical(feed_file(feed, now=timezone.now())).events
        read = {
            str(event["UID"]): (event.start, event.end)
            for event in events
            if event["STATUS"] != "CANCELLED" and event["DTSTART"].params.get("VALUE") != "DATE"
        }
        for address, calendar in self.calendars.items():
            for uid, entry in calendar.entries.items():
                if read.get(uid) != (entry.starts, entry.ends):
                    self.wrong.append(f"{address}: {entry}, but the feed says {read.get(uid)}")

    def _compare_times_told(self) -> None:
        """Each Message-ID came once, but for those that the studio could not know to have come."""
        twice = {key for key, many in self.ids.items() if many > 1} - self.server.in_doubt
        self.wrong += [f"{key} came {self.ids[key]} times" for key in twice]
        waiting = Letter.objects.filter(state__in=[LetterState.WAITING, LetterState.FAILED])
        for letter in waiting.filter(written_at__lt=timezone.now()):
            try:
                send_again(letter, by=self.world.users[0])
            except ValidationError:
                continue
            self.wrong.append(f"{letter} was never sent: {letter.error}")
