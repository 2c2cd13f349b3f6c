"""The main job as people do it at their pages, from the booking to what the artist takes home."""

import base64
import hashlib
import re
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from urllib.parse import urlsplit
from uuid import uuid4

from django.urls import resolve, reverse
from django.utils import timezone

from sessions.editing.presses import FIELD, new_number
from sessions.songs.models import Part
from tests.factories import (
    ClientFactory,
    PartFactory,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UnitFactory,
)
from tests.served.visitor import Visitor
from tests.sessions.deliverables.uploads.sending import PIECE, TUS, metadata

PATIENCE = 120  # seconds for what workers do
ARTIST = "hesper@tholes.example"


@dataclass(frozen=True)
class House:
    """What is there before anybody books: a client who is told, a part to record, a room, a microphone."""

    part: Part
    room: int
    microphone: str

    @classmethod
    def furnish(cls, engineer) -> "House":
        PersonFactory(user=engineer, name="Ulric Yarrell", bookable=True)
        client = ClientFactory(name="Thole & Ledger Records", email="desk@tholes.example")
        project = ProjectFactory(client=client, name="Ninth Tide EP")
        part = PartFactory(name="Lead vocal", song__title="Slow the Lantern", song__project=project)
        return cls(part, RoomFactory(name="Rope Floor").pk, UnitFactory().asset_tag)


@dataclass
class MainJob:
    house: House
    manager: Visitor
    engineer: Visitor
    artist: Visitor

    def book(self) -> int:
        """From now on, confirmed; its key."""
        now = timezone.localtime().replace(minute=0, second=0, microsecond=0)
        self.manager.open(reverse("bookings:create"))
        self.manager.press(
            "Book",
            project=self.house.part.song.project_id,
            title="Lead vocal",
            starts_at=f"{now:%Y-%m-%dT%H:%M}",
            ends_at=f"{now + timedelta(hours=4):%Y-%m-%dT%H:%M}",
            status="confirmed",
            rooms=self.house.room,
        )
        self.manager.press("Save and send")
        return resolve(self.manager.here).kwargs["pk"]

    def set_up(self, session: int) -> tuple[int, int]:
        """A setup with a chain; its key, and the chain's."""
        visitor = self.engineer
        visitor.open(reverse("setups:setup_create", args=[session]))
        visitor.press("Save", name="Lead vocal, morning")
        visitor.open(reverse("setups:session", args=[session]))
        [link] = visitor.page.xpath("//a[contains(@href, '/chains/new/')]/@href")[:1]
        setup = resolve(link.partition("?")[0]).kwargs["pk"]
        visitor.open(link)
        visitor.press(
            "Save",
            parts=self.house.part.pk,
            source="Hesper, alto voice",
            track="Ld Vox",
            destination="Input 1",
        )
        chain = resolve(visitor.here).kwargs["pk"]
        visitor.open(reverse("editor:chain", args=[chain]))
        visitor.press("Add to the chain", unit=self.house.microphone)
        return setup, chain

    def log_take(self, session: int, setup: int) -> None:
        self.engineer.open(reverse("bookings:detail", args=[session]))
        self.engineer.press("Start")
        part = self.house.part
        address = reverse("takes:press", args=[session])
        pressed = {"song": part.song_id, "part": part.pk, "setup": setup, FIELD: new_number()}
        pressed |= {"what": "over", "mark": "complete", "kind": "whole"}
        self.engineer.ask(address, pressed)
        self.engineer.open(reverse("takes:session_list", args=[session]))

    def hand_in(self, mix: Path) -> str:
        """The rough mix, in one piece; the address of its page, once it is measured."""
        content, song = mix.read_bytes(), self.house.part.song_id
        about = metadata(filename=mix.name, kind="rough_mix", batch=uuid4())
        said = TUS | {"Upload-Length": str(len(content)), "Upload-Metadata": about}
        begun = self.engineer.ask(
            reverse("uploads:create", args=[song]), method="POST", body=b"", **said
        )
        digest = base64.b64encode(hashlib.sha256(content).digest()).decode()
        said = TUS | {"Upload-Offset": "0", "Upload-Checksum": f"sha256 {digest}"}
        where = urlsplit(begun.headers["Location"]).path
        sent = self.engineer.ask(
            where, method="PATCH", body=content, **said, **{"Content-Type": PIECE}
        )
        assert sent.status == 204, sent.text
        self.engineer.open(reverse("deliverables:list", args=[song]))
        [page] = self.engineer.page.xpath("//a[contains(., 'Rough mix 1')]/@href")[:1]
        digest = hashlib.sha256(content).hexdigest()
        wait_until(lambda: self.engineer.open(page) is not None and digest in self.engineer.words)
        return page

    def print_paper(self) -> bytes:
        """The recall sheet of the song, once a worker made it."""
        address = reverse("recall:song_pdf", args=[self.house.part.song_id])

        def printed():
            answer = self.engineer.ask(address)
            return answer.content if answer.headers["Content-Type"] == "application/pdf" else None

        return wait_until(printed)

    def send(self, deliverable: str) -> None:
        project = self.house.part.song.project_id
        self.manager.open(reverse("deliveries:approve", args=[project]))
        self.manager.press("Save", name="Hesper Dunnage", email=ARTIST)
        key = resolve(deliverable).kwargs["pk"]
        self.engineer.open(reverse("deliveries:send", args=[key]))
        [recipient] = self.engineer.page.xpath("//input[@name='recipients']/@value")
        self.engineer.press("Send", recipients=recipient)

    def take_home(self, letter: str) -> str:
        """What the artist does with the link of the letter; the address that has the file."""
        address = re.search(r"https?://[^/]+(/d/\S+)", letter)[1]
        self.artist.open(address)
        self.artist.press("Open")
        [file] = self.artist.page.xpath("//a[contains(., 'Download ')]/@href")[:1]
        # Until all of it is in the bucket, this machine has it.
        return wait_until(lambda: self.artist.ask(file).headers["Location"])


def wait_until(holds: Callable):
    """What it gives, once it gives something."""
    until = time.monotonic() + PATIENCE
    while not (found := holds()):
        if time.monotonic() > until:
            raise AssertionError("It did not come to that.")
        time.sleep(0.2)
    return found
