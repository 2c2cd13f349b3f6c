"""The lists and detail pages of a very large house, against the change list of Django's admin over the
same rows, and against the same pages of a house with a hundredth of them: as many queries in both."""

from collections.abc import Callable, Iterator
from time import perf_counter, process_time

from django.db import connection
from django.db.models import Model
from django.urls import reverse

from sessions.bookings.models import RecordingSession
from sessions.clients.models import Client
from sessions.songs.models import Song
from sessions.takes.models import Take
from tests.measure.asking import page, queries
from tests.measure.booking import vacuum
from tests.measure.fill.calendar import DAYS_TO_COME, Calendar
from tests.measure.fill.house import ROOMS, House, furnish
from tests.measure.fill.rows import write_histories
from tests.measure.fill.takes import record
from tests.measure.takes import Asked, sing_elsewhere
from tests.measure.timing import Ratio, interleaved
from tests.measure.two_databases import another_database

HALF, GROWN = 0.5, 1.3  # of the admin's time; of the same page's in the small house
HUNDREDTH = 100
RECORDED = 1_400  # sessions with setups; the older ones have takes alone
TAKES_EACH = 12  # of those

Pages = dict[str, tuple[Callable[[], None], type[Model]]]  # and whose rows they show


def measure(sessions: int, takes: int, rounds: int) -> Iterator[Ratio | Asked]:
    with another_database() as other:
        small = other.of(lambda: pages(grow(sessions // HUNDREDTH, takes // HUNDREDTH)))()
        house = grow(sessions, takes)
        large = pages(house)
        works = {model.__name__: _admin(house, model) for _, model in large.values()}
        for name, (work, _) in large.items():
            works |= {name: work, f"{name}, a hundredth": other.of(small[name][0])}
        clock = process_time if connection.vendor == "sqlite" else perf_counter
        times = interleaved(works, rounds, clock)
        for name, (work, model) in large.items():
            against = f"admin, {model._meta.verbose_name_plural}"
            both = times | {against: times[model.__name__]}
            yield Ratio.of(both, name, against, HALF)
            yield Ratio.of(times, name, f"{name}, a hundredth", GROWN)
            few = other.of(lambda name=name: queries(small[name][0]))()
            yield Asked(name, len(few), len(queries(work)))


def grow(sessions: int, takes: int) -> House:
    """A house of so many. The last sessions are recorded through chains of their own."""
    house = furnish()
    to_come = min(DAYS_TO_COME, sessions // (8 * ROOMS))
    calendar = Calendar(house, days_to_come=to_come)
    recorded = min(RECORDED, sessions // 2)
    calendar.book(recorded)
    record(house, calendar, min(takes // 2, TAKES_EACH * recorded))
    later = len(calendar.projects)
    calendar.book(sessions - recorded)
    sing_elsewhere(calendar.projects[later:], takes - Take.objects.count(), Take.objects.first())
    write_histories(by=house.manager)
    vacuum()
    return house


def pages(house: House) -> Pages:
    take = Take.objects.select_related("song__project", "session").first()
    session, song, project = take.session, take.song, take.song.project
    chain, unit = session.setups.first().chains.first(), house.booths[0].chains[0][0].unit

    def shown(name: str, model: type[Model], shows, *keys: int, **query: str):
        return page(house.manager, reverse(name, args=keys), str(shows), **query), model

    return {
        "Today": shown("home", RecordingSession, "Today"),
        "sessions to come": shown("bookings:list", RecordingSession, "Sessions"),
        "sessions that are over": shown("bookings:list", RecordingSession, "Sessions", when="past"),
        "songs": shown("songs:list", Song, "Songs"),
        "clients": shown("clients:list", Client, "Clients"),
        "a session": shown("bookings:detail", RecordingSession, session, session.pk),
        "its chains": shown("setups:session", RecordingSession, session, session.pk),
        "a chain": shown("setups:chain", RecordingSession, chain, chain.pk),
        "a client": shown("clients:detail", Client, project.client, project.client_id),
        "a project": shown("clients:project_detail", RecordingSession, project, project.pk),
        "a song": shown("songs:detail", Take, song, song.pk),
        "takes of a session": shown("takes:session_list", Take, song, session.pk),
        "takes of a song": shown("takes:song_list", Take, song, song.pk),
        "a take": shown("takes:edit", Take, song, take.pk),
        "tracking page": shown("takes:session", Take, song, session.pk),
        "a unit": shown("equipment:unit_detail", RecordingSession, unit, unit.pk),
        "where a unit was used": shown("setups:for_unit", RecordingSession, unit, unit.pk),
        "recall page of a song": shown("recall:song", Take, song, song.pk),
        "session report": shown("reports:session", Take, session, session.pk),
    }


def _admin(house: House, model: type[Model]) -> Callable[[], None]:
    address = reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_changelist")
    return page(house.manager, address, str(model._meta.verbose_name_plural))
