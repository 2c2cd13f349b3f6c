"""Which pages somebody opens in the course of a day: all that their role may, and those of their desk."""

from collections.abc import Iterator

from django.urls import reverse

from studio.access import PAGES, may_open
from tests.measure.load.desks import Desk
from tests.studio.every_page import routes

NO_PAGES = {"logout", "rooms:logo_picture"}  # the studio has no logo


def pages_of(desk: Desk) -> list[str]:
    """Addresses, each of them once."""
    return [*dict.fromkeys([*_lists(desk), *_at_the_desk(desk)])]


def _lists(desk: Desk) -> Iterator[str]:
    for name, holds in routes().items():
        if not holds and name not in NO_PAGES and _is_theirs(desk, name):
            yield reverse(name)


def _is_theirs(desk: Desk, name: str) -> bool:
    return "public" not in PAGES.get(name, ("public",)) and may_open(desk.user, name)


def _at_the_desk(desk: Desk) -> Iterator[str]:
    song, session = desk.part.song, desk.session
    tracked = f"?song={song.pk}&setup={desk.setup.pk}&part={desk.part.pk}"
    for name, thing, query in (
        ("bookings:detail", session, ""),
        ("setups:session", session, ""),
        ("setups:chain", desk.chain, ""),
        ("editor:chain", desk.chain, ""),
        ("setups:level_plan", desk.setup, ""),
        ("setups:input_list", desk.setup, ""),
        ("takes:session", session, tracked),
        ("takes:live", session, tracked),
        ("takes:session_list", session, ""),
        ("takes:song_list", song, ""),
        ("comp:sheet", desk.part, ""),
        ("songs:detail", song, ""),
        ("deliverables:list", song, ""),
        ("recall:song", song, ""),
        ("clients:detail", desk.client, ""),
        ("clients:project_detail", session.project, ""),
        ("money:session", session, ""),
        ("payments:account", desk.client, ""),
        ("invoices:create", desk.client, ""),
    ):
        if may_open(desk.user, name):
            yield reverse(name, args=[thing.pk]) + query
    if may_open(desk.user, "search:results"):
        yield from (f"{reverse('search:results')}?q={typed}" for typed in ("lan", "pier", "vox"))
    yield f"{reverse('find:search')}?q=slow+lantern"
