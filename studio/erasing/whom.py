"""Who is erased: one person, the sign-in that is theirs, what they were called and where they were
reached, then and now."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from django.db.models import Model, Q

from sessions.clients.models import Client, Person
from sessions.desk.merging.pointing import merged_in_words
from sessions.rooms.models import Studio
from studio.erasing.words import Words, words_of
from studio.models import User
from studio.roles import Role


class NotErased(Exception):
    """Why not, in a sentence."""


@dataclass(frozen=True)
class Whom:
    """`people` and `users` are keys, those of people who were merged with them among them; `clients`
    are those that are called as they are: a private person who pays."""

    person: Person | None
    user: User | None
    people: list[int]
    users: list[int]
    clients: list[Client]
    words: Words = field(repr=False)
    shared: list[str] = field(repr=False)

    @property
    def instead(self) -> str:
        """What they are called from now on."""
        return _instead(self.person, self.user)


def whom(*, person: Person | None, user: User | None) -> Whom:
    """Raises NotErased for the last manager who may sign in."""
    user = user or (person.user if person else None)
    person = person or Person.objects.filter(user=user).first()
    _not_the_last_manager(user)
    users = [user.pk] if user else []
    people = _merged_into(person) if person else []
    called = [
        *_rows(Person, people, "name", "credited_as", "email", "phone"),
        *_rows(User, users, "first_name", "last_name", "email"),
    ]
    names = {name for row in called for name in _names(row)}
    clients = [each for each in Client.objects.all() if _same(each.name, names)]
    paying = list(_rows(Client, [each.pk for each in clients], "email", "phone", "address"))
    reached = [*called, *paying]
    facts = {
        "names": sorted(names),
        "emails": sorted({row["email"] for row in reached}),
        "phones": sorted({row.get("phone", "") for row in reached}),
        "places": sorted({row["address"] for row in paying}),
    }
    shared = sorted(_of_others(people, users, clients) & _all(facts.values()))
    number = person.pk if person else user.pk
    words = words_of(
        **facts,
        shared=shared,
        instead=_instead(person, user),
        address=f"{'person' if person else 'user'}-{number}-{{}}@erased.invalid",
    )
    return Whom(person, user, people, users, clients, words, shared)


def _instead(person: Person | None, user: User | None) -> str:
    return f"Erased person {person.pk}" if person else f"Erased user {user.pk}"


def _not_the_last_manager(user: User | None) -> None:
    managers = User.objects.filter(role=Role.MANAGER, is_active=True)
    if user and managers.filter(pk=user.pk).exists() and managers.count() == 1:
        raise NotErased(
            f"{user} is the only manager who may sign in. Make somebody else one first, on the page Users."
        )


def _merged_into(person: Person) -> list[int]:
    """Keys of all who are this person by now. A history says with whom somebody was merged by name, so
    a name that two people have says nothing."""
    found, names = [person.pk], {person.name}
    while True:
        known = {row["name"] for row in _rows(Person, found, "name")} | names
        known -= set(Person.objects.exclude(pk__in=found).values_list("name", flat=True))
        reasons = [merged_in_words(name) for name in sorted(known)]
        gone = Person.history.filter(history_type="-", history_change_reason__in=reasons)
        more = set(gone.exclude(id__in=found).values_list("id", flat=True))
        if not more:
            return found
        found += sorted(more)


def _rows(model: type[Model], keys: list[int], *fields: str) -> Iterator[dict]:
    """As they are, and as they ever were."""
    yield from model.objects.filter(pk__in=keys).values(*fields)
    yield from model.history.filter(id__in=keys).order_by().values(*fields).distinct()


def _names(row: dict) -> Iterator[str]:
    if "name" in row:
        yield from filter(None, (row["name"], row["credited_as"]))
    elif row["first_name"] and row["last_name"]:
        yield f"{row['first_name']} {row['last_name']}"


def _same(name: str, names: Iterable[str]) -> bool:
    return name.casefold() in {each.casefold() for each in names}


def _all(texts: Iterable[Iterable[str]]) -> set[str]:
    return {each.casefold() for some in texts for each in some if each}


def _of_others(people: list[int], users: list[int], clients: list[Client]) -> set[str]:
    """What others are called, and where they are reached."""
    signed_in = User.objects.exclude(pk__in=users)
    rows = [
        Person.objects.exclude(pk__in=people).values_list("name", "credited_as", "email", "phone"),
        Client.objects.exclude(pk__in=[each.pk for each in clients]).values_list(
            "name", "email", "phone", "address"
        ),
        Studio.objects.values_list("name", "email", "sender", "phone", "address"),
        signed_in.values_list("email"),
        [[str(user)] for user in signed_in.filter(~Q(first_name=""))],
    ]
    return {each.casefold() for some in rows for row in some for each in row if each}
