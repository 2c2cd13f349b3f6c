"""A process of its own that books on the database that `DATABASE_URL` names.

    python -m tests.sessions.bookings.racing book '{"project": 1, "rooms": [1], ...}'
    python -m tests.sessions.bookings.racing race '{"project": 1, "rooms": [1, 2], "seed": 7, ...}'

`book` books once, prints the session's key when the booking is acknowledged, and then waits to be
killed. `race` books, cancels and moves at random and prints one line for each answer: `booked KEY`,
`cancelled KEY`, `clash`, or `error NAME`.
"""

import json
import os
import random
import sys
import time
from datetime import timedelta

import django


def say(*words):
    sys.stdout.write(" ".join(map(str, words)) + "\n")
    sys.stdout.flush()


def main(what, wish):
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    django.setup()
    from sessions.bookings.models import Room
    from sessions.clients.models import Project
    from studio.models import User

    rooms = list(Room.objects.filter(pk__in=wish["rooms"]))
    project = Project.objects.get(pk=wish["project"])
    user = User.objects.get(pk=wish["user"])
    if what == "book":
        say(book(project, user, rooms, start=0, length=4, queue=False).pk)
        time.sleep(60)
    else:
        say("ready")
        sys.stdin.readline()
        race(project, user, rooms, random.Random(wish["seed"]), wish["seconds"])


def book(project, user, rooms, *, start, length, queue):
    from sessions.bookings.actions import book_session
    from tests.factories import TEN_O_CLOCK

    starts_at = TEN_O_CLOCK + timedelta(hours=start)
    return book_session(
        project,
        title=f"Booked by {os.getpid()}",
        starts_at=starts_at,
        ends_at=starts_at + timedelta(hours=length),
        status="held",
        rooms=rooms,
        queue_behind=queue,
        by=user,
    )


def race(project, user, rooms, chance, seconds):
    from sessions.bookings.actions import set_status
    from sessions.bookings.clashes import ClashError

    booked = []
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        try:
            if booked and chance.random() < 0.3:
                session = booked.pop(chance.randrange(len(booked)))
                set_status(session, to="cancelled", by=user)
                say("cancelled", session.pk)
                continue
            session = book(
                project,
                user,
                chance.sample(rooms, chance.randint(1, len(rooms))),
                start=chance.randrange(12),
                length=chance.randint(1, 6),
                queue=chance.random() < 0.3,
            )
        except ClashError:
            say("clash")
        except Exception as error:  # whatever it is, somebody would have seen an error page
            say("error", type(error).__name__, str(error).replace("\n", " "))
        else:
            booked.append(session)
            say("booked", session.pk)


if __name__ == "__main__":
    main(sys.argv[1], json.loads(sys.argv[2]))
