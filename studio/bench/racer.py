"""One writer of the race: books, cancels and queues at random, and notes each answer as it comes.

    DATABASE_URL=… python -m studio.bench.racer '{"seed": 7, "seconds": 30, "answers": "/tmp/…"}'

It prints `ready`, waits for a line, and runs. The file of answers holds a line for each: `booked KEY
COUNT`, `cancelling KEY`, `cancelled KEY`, `clash`, `error NAME …`; the last word is the seconds that
the answer took. A line that is in the file was acknowledged: the writer may be killed after it.
"""

import json
import os
import random
import sys
import time
from datetime import timedelta

import django


def main(seed: int, seconds: float, answers: str) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
    django.setup()
    with open(answers, "a", buffering=1) as notes:
        racer = Racer(random.Random(seed), notes)
        sys.stdout.write("ready\n")
        sys.stdout.flush()
        sys.stdin.readline()
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            racer.step()


class Racer:
    def __init__(self, chance: random.Random, notes):
        from sessions.bookings import actions, clashes
        from studio.bench.prize import Prize

        self.actions, self.prize = actions, Prize.found()
        self.refusal = clashes.ClashError
        self.chance, self.notes, self.booked = chance, notes, []

    def step(self) -> None:
        """One wish, and its answer."""
        self.began = time.monotonic()
        try:
            if self.booked and self.chance.random() < 0.3:
                self._cancel(self.booked.pop(self.chance.randrange(len(self.booked))))
            else:
                self._book()
        except self.refusal as refused:
            told = all(" is taken by " in message for message in refused.messages)
            self._note(*(["clash"] if told and refused.clashes else ["error", "says nothing"]))
        except Exception as error:  # whatever it is, somebody would have seen an error page
            self._note("error", type(error).__name__, str(error).replace("\n", " "))

    def _book(self) -> None:
        starts_at = self.prize.day + timedelta(hours=self.chance.randrange(24))
        rooms, people, units = (
            self.chance.sample(things, self.chance.randint(least, len(things)))
            for things, least in (
                (self.prize.rooms, 1),
                (self.prize.people, 0),
                (self.prize.units, 0),
            )
        )
        session = self.actions.book_session(
            self.prize.project,
            title=f"Booked by {os.getpid()}",
            starts_at=starts_at,
            ends_at=starts_at + timedelta(hours=self.chance.randint(1, 6)),
            status="held",
            rooms=rooms,
            people=people,
            units=units,
            queue_behind=self.chance.random() < 0.3,
            by=self.prize.manager,
        )
        self._note("booked", session.pk, len(rooms) + len(people) + len(units))
        self.booked.append(session)

    def _cancel(self, session) -> None:
        self._note("cancelling", session.pk)
        self.actions.set_status(session, to="cancelled", by=self.prize.manager)
        self._note("cancelled", session.pk)

    def _note(self, *words) -> None:
        took = time.monotonic() - self.began
        self.notes.write(" ".join(map(str, [*words, f"{took:.3f}"])) + "\n")


if __name__ == "__main__":
    main(**json.loads(sys.argv[1]))
