"""What people do at work, as their pages do it, and a note of all that was acknowledged."""

import hashlib
import io
import json
import random
import time
import wave
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from uuid import uuid4

from django.urls import resolve, reverse
from django.utils import timezone

from sessions.setups.editor.keys import stage_keys
from sessions.takes.models import Mark
from tests.measure.load.browser import Browser, Fields, Page, Unexpected, words
from tests.measure.load.desks import Desk
from tests.measure.uploads import Client

BY_SCRIPT = {"Accept": "application/json"}
LONGEST_PIECE = 200_000  # bytes
STEPS = 100  # of the gain, half a decibel each
PRICE = "60.00"  # of the line of an invoice, before tax of 20 %
LOOKS = 200  # for a paper that the worker makes


@dataclass
class Notes:
    """Each line was acknowledged, and nothing else was.

    takes: the number of the press that began it, the gain that stood then, and the mark.
    gains: all that were set, in order, after the one that stood there.
    files: the sums of what was uploaded. papers, bills: what is written on each, and the key of a bill.
    letters: the keys of bills that were sent. payments: their references, and the bill that each is for.
    """

    takes: list[tuple[str, float, str]] = field(default_factory=list)
    gains: list[float] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    papers: list[str] = field(default_factory=list)
    bills: list[tuple[str, int]] = field(default_factory=list)
    letters: list[int] = field(default_factory=list)
    payments: list[tuple[str, int]] = field(default_factory=list)


@dataclass
class AtWork:
    desk: Desk
    browser: Browser
    chance: random.Random
    notes: Notes = field(default_factory=Notes)
    booked: int = 0

    def __post_init__(self):
        """Keys are read beforehand: whoever works here has no connection to the database."""
        [(self.stage_key, stage)] = (
            (key, each)
            for key, each in stage_keys(self.desk.stage.revision.stages.all()).items()
            if each == self.desk.stage
        )
        self.field_name = self.desk.field
        self.gain = float(stage.settings.get(self.desk.control, 0))
        self.notes.gains.append(self.gain)
        self.song = self.desk.part.song
        self.room = self.desk.session.reservations.get().room_id

    # --- in the control room ----------------------------------------------------------------------

    def take(self) -> None:
        """Started and marked, each by a press with a number, sent until it is answered."""
        started, mark = str(uuid4()), self.chance.choice([Mark.COMPLETE, Mark.HOLD, Mark.NO_GOOD])
        gain = self.gain
        take = self._press(started, what="start")["take"]
        self._press(str(uuid4()), what="mark", mark=mark, take=take["key"], seen=take["seen"])
        self.notes.takes.append((started, gain, mark))

    def _press(self, number: str, **facts) -> dict:
        pressed = _now()
        held = {"number": number, "part": self.desk.part.pk, "setup": self.desk.setup.pk}
        held |= {"kind": "whole", "user": self.desk.user.pk, "pressed_at": pressed} | facts
        address = reverse("takes:press", args=[self.desk.session.pk])
        return self._script(address, lambda: held | {"sent_at": _now()}, "takes")

    def setting(self) -> None:
        """Turn the gain. Sent again, it may be told that the same stands there already."""
        steps = self.chance.randrange(1, STEPS)
        value = round((self.gain + steps / 2) % (STEPS / 2), 1)
        address = reverse("editor:field", args=[self.desk.chain.pk])
        form = {"stage": self.stage_key, "name": self.field_name, "is_sure": "on"}
        form |= {"was": _typed(self.gain), "value": _typed(value)}
        shown = self._script(address, form, "settings", also=409)
        if shown.get("value") != f"{_typed(value)} dB":
            raise Unexpected(f"{_typed(value)} was set in place of {self.gain}: {shown}")
        self.gain = value
        self.notes.gains.append(value)

    def _script(self, address: str, form, what: str, *, also: int = 200) -> dict:
        status, said = self.browser.send("POST", address, what=what, headers=BY_SCRIPT, form=form)
        if status not in (200, also):
            raise Unexpected(f"{what}: POST {address} was answered {status}: {said[:300]}")
        return json.loads(said)

    def upload(self) -> None:
        """A mix that is measured then, or an archive that is kept as it is; in pieces."""
        sound = self.chance.random() < 0.5
        content = _sound(self.chance) if sound else self.chance.randbytes(400_000)
        named = {"filename": "mix.wav", "kind": "rough_mix"} if sound else {}
        client, insist = Client(self.browser.port, self.browser.headers), self.browser.insist
        address = insist(lambda: client.begin(self.song, len(content), **named), "uploads")
        while not insist(lambda: self._landed(client, address, content), "uploads"):
            pass
        self.notes.files.append(hashlib.sha256(content).hexdigest())

    def _landed(self, client: Client, address: str, content: bytes) -> bool:
        """Whether it is on record, after its next piece: from where the server is, which may have had
        more than it answered."""
        at, landed = client.state(address)
        if not landed:
            piece = content[at : at + self.chance.randrange(1, LONGEST_PIECE)]
            _, landed = client.send(address, piece, at)
        return landed

    # --- in the office ----------------------------------------------------------------------------

    def paper(self) -> None:
        """A quote with a number, for the session."""
        note = f"Quoted as {uuid4()}"
        address = reverse("money:session", args=[self.desk.session.pk])
        issue = reverse("money:issue", args=[self.desk.session.pk])
        to, form = self.browser.get(address).form(issue)
        self.browser.press(to, form | {"kind": "quote", "note": note}, what="papers")
        self.notes.papers.append(note)

    def bill(self) -> int:
        """An invoice with a number, and its paper, which the worker makes."""
        what = f"A disk, {uuid4()}"
        address = reverse("invoices:create", args=[self.desk.client.pk])
        to, form = self.browser.get(address).form()
        line: Fields = {"other-0-what": what, "other-0-net": PRICE, "other-0-tax_percent": "20"}
        key = resolve(self.browser.press(to, form | line | {"do": "issue"}, what="bills")).kwargs[
            "pk"
        ]
        self.notes.bills.append((what, key))
        self._read_paper(reverse("invoices:pdf", args=[key]))
        return key

    def _read_paper(self, address: str) -> None:
        asked = f"?asked={time.time():.3f}"
        for _ in range(LOOKS):
            page = self.browser.get(f"{address}{asked}", what="papers read")
            if page.text.startswith("%PDF"):
                return
            time.sleep(0.5)
        raise Unexpected(f"{address} was not made within {LOOKS / 2:g} s")

    def letter(self) -> None:
        """The last invoice by e-mail, or a new one where that went."""
        key = next((key for _, key in self.notes.bills if key not in self.notes.letters), None)
        key = key or self.bill()
        page = self.browser.get(reverse("invoices:detail", args=[key]))
        to, form = page.form(reverse("invoices:send", args=[key]))
        self.browser.press(to, form, what="letters")
        self.notes.letters.append(key)

    def payment(self) -> None:
        """All of an invoice that is not paid yet, or of a new one."""
        paid = {key for _, key in self.notes.payments}
        key = next((key for _, key in self.notes.bills if key not in paid), None) or self.bill()
        reference = str(uuid4())
        address = reverse("payments:create", args=[self.desk.client.pk])
        to, form = self.browser.get(f"{address}?invoice={key}").form(address)
        self.browser.press(to, form | {"reference": reference}, what="payments")
        self.notes.payments.append((reference, key))

    def book(self) -> None:
        """A session to come in the room of this one, on a day of its own; its client is told."""
        self.booked += 1
        day = timezone.localdate() + timedelta(days=30 + self.booked)
        hour = self.desk.user.pk % 24  # two people work in each room
        address = reverse("bookings:create")
        to, form = self.browser.get(address).form()
        form |= {
            "project": self.desk.session.project_id,
            "title": f"Booked by {self.desk.user}, {self.booked}",
            "status": "confirmed",
            "starts_at": f"{day}T{hour:02}:00",
            "ends_at": f"{day}T{hour:02}:45",
            "rooms": [self.room],
        }
        status, said = self.browser.send("POST", to, what="bookings", form=form)
        if status == 200:  # who will be told what: send it
            to, form = Page(to, status, said).form()
            self.browser.press(to, form | {"told": "send"}, what="bookings")
        elif status != 302:
            raise Unexpected(f"a booking was answered {status}: {words(said)}")

    IN_CONTROL_ROOM: tuple[Callable, ...] = (take, setting, upload)
    IN_OFFICE: tuple[Callable, ...] = (paper, bill, letter, payment)


def _now() -> int:
    """As a device's clock says it, in milliseconds since 1970."""
    return int(timezone.now().timestamp() * 1000)


def _typed(gain: float) -> str:
    return f"{gain:g}"


def _sound(chance: random.Random) -> bytes:
    """Half a second of noise in stereo, which no other has."""
    written = io.BytesIO()
    with wave.open(written, "wb") as file:
        file.setnchannels(2)
        file.setsampwidth(3)
        file.setframerate(48_000)
        file.writeframes(chance.randbytes(2 * 3 * 24_000))
    return written.getvalue()
