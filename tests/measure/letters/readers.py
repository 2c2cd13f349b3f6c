"""All who read letters: each applies them to a calendar in the order in which the server took them."""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from email import policy
from email.message import EmailMessage

from icalendar import Calendar

from tests.itip_reader import CalendarOf, Entry, Refused
from tests.mail_server import MailServer
from tests.measure.letters.world import REASON, SENDER

Difference = tuple[str, str, str]  # address, UID, in words


@dataclass
class Readers:
    """`ids` are the Message-IDs and how often each came; `applied`, what calendars did."""

    server: MailServer
    calendars: dict[str, CalendarOf] = field(default_factory=dict)
    applied: Counter = field(default_factory=Counter)
    ids: Counter = field(default_factory=Counter)
    seen: int = 0

    def read(self) -> Iterator[str]:
        """What the server took since, a letter that came again only once; what is wrong with it."""
        new, self.seen = self.server.taken[self.seen :], len(self.server.taken)
        for to, letter in new:
            key = letter["Message-ID"]
            self.ids[key] += 1
            if self.ids[key] == 1:
                yield from (f"to {to}: {each}" for each in self._read(to.lower(), letter))

    def _read(self, address: str, letter: EmailMessage) -> Iterator[str]:
        calendar = self.calendars.setdefault(address, CalendarOf(address))
        try:
            done = calendar.read(letter.as_bytes(policy=policy.SMTP))
        except Refused as refused:
            yield f"{letter['Subject']}: {refused}"
            return
        for kind in ("plain", "html"):
            text = letter.get_body([kind])
            if text is None:
                yield f"{letter['Subject']} has no text/{kind}"
            elif REASON in text.get_content():
                yield f"{letter['Subject']} says why somebody cannot come"
        if SENDER not in letter["From"]:
            yield f"is from {letter['From']}"
        self.applied.update(each.what for each in done)
        for each in done:
            if each.what in {"stale", "unknown"}:
                yield f"{each.what} {each.method}: {letter['Subject']}"
        if len({each.uid for each in done}) < len(done):
            yield f"says two things of one session: {letter['Subject']}"

    def differences(
        self,
        wanted: Mapping[str, Mapping[str, Entry]],
        but_for: Collection[tuple[str, str]] = (),
    ) -> Iterator[Difference]:
        """Where a calendar is not as the schedule."""
        for address in sorted(wanted.keys() | self.calendars.keys()):
            has = self.calendars[address].entries if address in self.calendars else {}
            should = wanted.get(address, {})
            for uid in sorted(should.keys() | has.keys()):
                if (address, uid) not in but_for and should.get(uid) != has.get(uid):
                    words = f"{address}: has {has.get(uid)}, should have {should.get(uid)}"
                    yield address, uid, words

    def differences_from_feed(self, file: bytes) -> Iterator[str]:
        """The feed of the house says of each session when it is as letters did, under one UID."""
        said = {
            str(event["UID"]): (event.start, event.end)
            for event in Calendar.from_ical(file).events
            if event["STATUS"] != "CANCELLED"
        }
        for address, calendar in self.calendars.items():
            for uid, entry in calendar.entries.items():
                if said.get(uid) != (entry.starts, entry.ends):
                    yield f"{address}: {entry}, but the feed says {said.get(uid)}"

    def came_twice(self) -> Iterator[str]:
        """But for those that the studio could not know to have come."""
        for key, many in self.ids.items():
            if many > 1 and key not in self.server.in_doubt:
                yield f"{key} came {many} times"
