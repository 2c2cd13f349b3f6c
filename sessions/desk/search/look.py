"""Looking for what has a page of its own, by what it is called; only what the user's own pages show.

Clients, people, projects and gear are few and compared here, accents ignored; sessions and songs, of
which a house has tens of thousands, by the database. A constant number of queries.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from django.db.models import Case, F, Q, QuerySet, When
from django.urls import reverse
from django.utils import timezone

from gear.equipment.models import GearModel, Unit
from sessions.bookings.models import RecordingSession
from sessions.clients.models import Client, Person, Project
from sessions.desk.search.papers import papers
from sessions.desk.search.words import Typed, folded
from sessions.recall.finding.hits import Group, Hit, joined
from sessions.songs.models import Song

SHORTEST = 2  # letters; a single figure may be the number of a paper


def look(text: str, user, *, most: int) -> list[Group]:
    """What holds all that was typed, by kind, the nearest of each first, at most so many of each."""
    typed = Typed.of(text)
    if len(typed.text) < SHORTEST:
        return _shown([("Papers", papers(typed, user))], most)
    projects = _known_projects(user)
    titled = _titled(typed, projects)
    groups = [("Papers", papers(typed, user))]
    if user.has_perm("studio_sessions.see_contacts"):
        groups += [("Clients", _clients(typed, most)), ("People", _people(typed, most))]
    groups += [
        ("Sessions", _sessions(titled, user, most)),
        ("Projects", _projects(typed, projects, most)),
        ("Songs", _songs(typed, titled, user, most)),
        ("Units", _units(typed, most)),
        ("Models", _models(typed, most)),
    ]
    return _shown(groups, most)


@dataclass(frozen=True)
class KnownProject:
    """What a project is found by, without all else that is on its row: a house has thousands."""

    pk: int
    name: str
    artist: str
    client: str
    retired: bool


def _known_projects(user) -> list[KnownProject]:
    rows = Project.objects.visible_to(user).order_by("name", "pk")
    fields = ("pk", "name", "artist", "client__name", "retired")
    return [KnownProject(*row) for row in rows.values_list(*fields)]


def _shown(groups: Iterable[tuple[str, list[Hit]]], most: int) -> list[Group]:
    return [Group.of(name, hits, most=most) for name, hits in groups if hits]


def _hits(typed: Typed, rows: Iterable, most: int, detail: Callable[..., str]) -> list[Hit]:
    """One more than are shown, which says that there are more."""
    nearest = typed.nearest_first(rows)[: most + 1]
    return [Hit(str(row), detail(row), row.get_absolute_url()) for row in nearest]


def _clients(typed: Typed, most: int) -> list[Hit]:
    found = [
        client
        for client in Client.objects.all()
        if typed.is_in(client.name, client.email) or typed.is_phone_of(client.phone)
    ]
    return _hits(typed, found, most, lambda each: joined(each.phone, each.email, _retired(each)))


def _people(typed: Typed, most: int) -> list[Hit]:
    found = [
        person
        for person in Person.objects.select_related("client")
        if typed.is_in(person.name, person.credited_as, person.email, person.does, person.client)
        or typed.is_phone_of(person.phone)
    ]
    return _hits(
        typed,
        found,
        most,
        lambda each: joined(each.does, each.client, each.phone, each.email, _retired(each)),
    )


def _projects(typed: Typed, projects: Iterable[KnownProject], most: int) -> list[Hit]:
    found = [each for each in projects if typed.is_in(each.name, each.artist, each.client)]
    return [
        Hit(
            each.name,
            joined(each.artist, each.client, _retired(each)),
            reverse("clients:project_detail", args=[each.pk]),
        )
        for each in typed.nearest_first(found, lambda each: each.name)[: most + 1]
    ]


def _sessions(titled: Q, user, most: int) -> list[Hit]:
    """The next first, then those that are over, the last first."""
    now = timezone.now()
    found = (
        RecordingSession.objects.visible_to(user)
        .filter(titled)
        .select_related("project")
        .annotate(to_come=Case(When(ends_at__gt=now, then=F("starts_at"))))
        .order_by(F("to_come").asc(nulls_last=True), "-starts_at", "pk")
    )
    return [
        Hit(
            str(each),
            joined(each.project, each.period_in_words, each.get_status_display().lower()),
            each.get_absolute_url(),
        )
        for each in found[: most + 1]
    ]


def _songs(typed: Typed, titled: Q, user, most: int) -> list[Hit]:
    songs: QuerySet[Song] = Song.objects.visible_to(user).filter(titled)
    found = songs.select_related("project").order_by("title", "pk")[: most + 1]
    return _hits(typed, found, most, lambda each: joined(each.project.artist, each.project))


def _titled(typed: Typed, projects: Iterable[KnownProject]) -> Q:
    """Whatever holds each word in its title, or in the names of its project."""
    named = [(each.pk, folded(f"{each.name} {each.artist} {each.client}")) for each in projects]
    found = Q()
    for word in typed.words:
        of_projects = [key for key, names in named if word in names]
        found &= Q(title__icontains=word) | Q(project__in=of_projects)
    return found


def _units(typed: Typed, most: int) -> list[Hit]:
    found = [
        unit
        for unit in Unit.objects.for_list()
        if typed.is_in(unit, unit.serial_number, unit.model.get_category_display())
    ]
    return _hits(
        typed,
        found,
        most,
        lambda each: joined(each.model.get_category_display(), each.home, each.standing),
    )


def _models(typed: Typed, most: int) -> list[Hit]:
    found = [
        model
        for model in GearModel.objects.all()
        if typed.is_in(model, model.get_category_display())
    ]
    return _hits(typed, found, most, lambda each: each.get_category_display())


def _retired(row) -> str:
    return "retired" if row.retired else ""
