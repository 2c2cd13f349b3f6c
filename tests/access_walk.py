"""Every address by every role, every method and every kind of row, generated from the URLs: who may not open
it is refused, and nothing is changed by reading, nor by who is refused or sends a forged form.

walk(count, seed)                on the database at hand, which is as before afterwards
python -m tests.measure long access --seed 7

Broken access control and its forms: OWASP Top 10 (A01:2021), OWASP Web Security Testing Guide 4.5; that
reading changes nothing: RFC 9110, section 9.2.1.
"""

import random
import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from uuid import UUID

from django.db import connection, transaction
from django.test import Client
from django.urls import get_resolver, reverse
from django.utils import timezone

from sessions.calendar.feeds.models import FeedAddress
from sessions.deliveries.models import DeliveryLink
from sessions.letters.models import LetterState
from sessions.links.models import hash_of
from sessions.rooms.models import Studio
from studio.access import PAGES, PUBLIC
from studio.password_links import PasswordLink
from studio.roles import Role
from tests.factories import (
    ClientFactory,
    FeedAddressFactory,
    LetterFactory,
    LetterFileFactory,
    PersonFactory,
    ProjectFactory,
    UploadFactory,
    UserFactory,
)
from tests.fuzzing import quiet
from tests.studio.every_page import FURTHER, OF_A_PROJECT, ROW, SECRET, routes, rows_of

READING = ("GET", "HEAD", "OPTIONS")
METHODS = (*READING, "POST", "PUT", "PATCH", "DELETE", "TRACE")
FORGED = "forged POST"  # without the token that a page of ours would send
ANOTHERS = "Kept From Others"  # in the name of all that is another's
NOT_THEIRS = {"letter", "letter file", "feed", "upload"}  # are somebody's own, in the house, too
SAYS_WHAT_IT_TAKES = {"uploads:create", "uploads:pieces"}  # tus: to whoever may use the page
FOR_A_TOKEN = {"metrics"}  # that is sent in a header; there is none
#: What asking may leave behind: none of it is the studio's record.
LEFT_BY_READING = {
    "studio_sessions_storedpaper": "a paper is made when somebody asks for it",
    "django_tasks_db_dbtaskresult": "by the worker",
    "studio_sessions_feedaddress": "when it was last used",
    "studio_sessions_deliverylink": "when it was last used",
    "studio_passwordlink": "when it was last used",
    "studio_sessions_wrongguess": "who guesses is counted",
    "studio_signedin": "when the device was last used, and the visit of who opens a delivery",
}


@dataclass(frozen=True)
class Case:
    """`who` is a role, or None for a stranger; `of` says whose row, or what became of the link."""

    page: str
    who: Role | None
    method: str
    of: str

    def __str__(self) -> str:
        return f"{self.who or 'a stranger'}: {self.method} {self.page}, {self.of}"


@dataclass
class Walked:
    count: int
    seed: int
    of: int
    holes: list[str] = field(default_factory=list)
    statuses: dict[int, int] = field(default_factory=lambda: defaultdict(int))

    @property
    def holds(self) -> bool:
        return not self.holes

    def __str__(self) -> str:
        answers = ", ".join(f"{n} of {status}" for status, n in sorted(self.statuses.items()))
        said = f"{self.count} of {self.of} requests (seed {self.seed}): {answers}"
        return "\n".join([said, f"{len(self.holes)} holes", *self.holes])


def walk(count: int, seed: int) -> Walked:
    """So many of all cases, drawn by the seed; a count that reaches takes all."""
    cases = list(all_cases())
    drawn = random.Random(seed).sample(cases, min(count, len(cases)))
    walked = Walked(len(drawn), seed, len(cases))
    with transaction.atomic(), quiet():
        world = World()
        for case in drawn:
            status, holes = world.ask(case)
            walked.statuses[status] += 1
            walked.holes += [f"{case}: {status}, {hole}" for hole in holes]
        transaction.set_rollback(True)
    return walked


def all_cases() -> Iterator[Case]:
    for page, held in sorted(routes(get_resolver("studio.urls")).items()):
        roles = PAGES.get(page, frozenset())
        for who in (None, *Role):
            for method in (*METHODS, FORGED):
                yield Case(page, who, method, "theirs")
                for of in _further(page, held, who, roles):
                    yield Case(page, who, method, of)


def _further(page: str, held: set[str], who: Role | None, roles) -> Iterator[str]:
    if roles is PUBLIC and "token" in held:
        yield from ("revoked", "expired", "unknown")
    if "pk" in held and (who in roles or roles is PUBLIC):
        yield "nobody’s"
        mixes = who is Role.MIX_ENGINEER and ROW[page] in OF_A_PROJECT
        alone = ROW[page] in NOT_THEIRS and who is not Role.MANAGER or ROW[page] == "upload"
        if mixes or alone or roles is PUBLIC:
            yield "another’s"


class World:
    """Two projects with all there is; the people of one have nothing to do with the other."""

    def __init__(self):
        client = ClientFactory(name=ANOTHERS)
        self.anothers = rows_of(ProjectFactory(name=ANOTHERS, client=client))
        for links in (FeedAddress, DeliveryLink, PasswordLink):
            links.objects.update(token_hash=hash_of(f"{ANOTHERS} {links.__name__}"))
        Studio.objects.all().delete()
        self.project = ProjectFactory()
        users = {role: UserFactory(role=role) for role in Role}
        people = {role: PersonFactory(user=user) for role, user in users.items()}
        self.project.mix_engineers.add(*people.values())
        rows = rows_of(self.project)
        self.theirs = {None: rows} | {
            role: rows | _own(rows, users[role], people[role]) for role in Role
        }
        self.clients = {
            (who, checks): _client(users.get(who), checks)
            for who in (None, *Role)
            for checks in (True, False)
        }

    def ask(self, case: Case) -> tuple[int, list[str]]:
        """The status, and what is wrong with the answer."""
        forged = case.method == FORGED
        client = self.clients[case.who, forged]
        cookies = client.cookies.copy()  # a sign-out ends this request's, not the next one's
        method = "POST" if forged else case.method
        written = []
        with transaction.atomic():
            self._end_links(case.of)
            address = self._address(case)
            with connection.execute_wrapper(_noting(written)):
                answer = client.generic(method, address, headers={"Tus-Resumable": "1.0.0"})
                body = b"".join(answer.streaming_content) if answer.streaming else answer.content
            transaction.set_rollback(True)
        client.cookies = cookies
        return answer.status_code, list(
            _holes(case, answer, body.decode(errors="replace"), written)
        )

    def _end_links(self, of: str) -> None:
        now = timezone.now()
        ended = {"revoked": {"revoked_at": now}, "expired": {"expires_at": now - timedelta(days=1)}}
        if of in ended:
            for links in (FeedAddress, DeliveryLink, PasswordLink):
                links.objects.filter(token_hash=hash_of(SECRET)).update(**ended[of])

    def _address(self, case: Case) -> str:
        held = dict(FURTHER.get(case.page, {}))
        if case.of == "unknown":
            held["token"] = "never-was-one"
        if case.page in ROW:
            rows = self.anothers if case.of == "another’s" else self.theirs[case.who]
            held["pk"] = rows[ROW[case.page]].pk
        if case.of == "nobody’s":
            held["pk"] = 2**40 if isinstance(held["pk"], int) else UUID(int=0)
        return reverse(case.page, kwargs=held)


def _own(rows: dict, user, person) -> dict:
    """What is one's own alone."""
    letter = LetterFactory(about=rows["session"], person=person, state=LetterState.FAILED)
    return {
        "letter": letter,
        "letter file": LetterFileFactory(letter=letter),
        "feed": FeedAddressFactory(person=person),
        "upload": UploadFactory(song=rows["song"], by=user),
    }


def _client(user, checks: bool) -> Client:
    client = Client(
        enforce_csrf_checks=checks, raise_request_exception=False, SERVER_NAME="localhost"
    )
    if user:
        client.force_login(user, backend="studio.backends.RoleBackend")
    return client


def _noting(written: list[str]):
    """Of a statement that changes rows, the table."""
    changes = re.compile(
        r"\s*(?:INSERT\s+(?:OR \w+\s+)?INTO|UPDATE|DELETE\s+FROM)\s+\"(\w+)\"", re.I
    )

    def note(execute, sql, params, many, context):
        if found := changes.match(sql):
            written.append(found[1])
        return execute(sql, params, many, context)

    return note


def _holes(case: Case, answer, body: str, written: list[str]) -> Iterator[str]:
    status, roles = answer.status_code, PAGES.get(case.page)
    if roles is None:
        yield "no rule in studio/access.py"
        return
    wanted = _refusal(case, roles)
    if status >= 500 or (wanted and status not in wanted):
        yield f"wanted {sorted(wanted) if wanted else 'an answer'}"
    if (
        status == 302
        and case.who is None
        and roles is not PUBLIC
        and not answer.url.startswith(reverse("login"))
    ):
        yield f"led to {answer.url}"
    if case.of in ("another’s", "revoked", "expired") and ANOTHERS in body:
        yield "showed what is another’s"
    if case.method in READING or wanted or status >= 400:
        for table in sorted(set(written) - LEFT_BY_READING.keys()):
            yield f"wrote to {table}"
    if not wanted and case.method in READING and status in (403, 404):
        yield "refused to somebody whose it is"


def _refusal(case: Case, roles) -> set[int] | None:
    """The answers that refuse; None where the case is to be answered."""
    if roles is not PUBLIC and case.who is None:
        return {302}
    if roles is not PUBLIC and case.who not in roles:
        return {403}
    if case.page in FOR_A_TOKEN:
        return {403, 404, 405}
    if case.method == FORGED:
        return {403, 405}
    if case.of == "unknown":
        return {404, 405}
    if case.of in ("revoked", "expired"):
        return {404, 410, 405}
    if case.method == "OPTIONS" and case.page in SAYS_WHAT_IT_TAKES:
        return None
    if case.of in ("nobody’s", "another’s"):
        # Whoever opened no link is led to its door, which says nothing of what stands behind it.
        return {404, 405} | ({302} if roles is PUBLIC else set())
    return None
