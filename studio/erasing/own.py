"""What stands in somebody's own rows, and in the history of those, once they are erased."""

from collections.abc import Iterator

from django.db.models import Model

from sessions.clients.models import Client, Person
from studio.erasing.whom import Whom
from studio.models import User


def own_facts(whom: Whom, model: type[Model]) -> Iterator[tuple[object, dict]]:
    """Key and new facts of each of their rows that says anything else."""
    of = getattr(model, "instance_type", model)
    is_history = of is not model
    facts_of, keys = {
        Person: (_of_person, whom.people),
        User: (_of_user, whom.users),
        Client: (_of_client, [each.pk for each in whom.clients]),
    }.get(of, (None, []))
    if not keys:
        return
    for row in model._base_manager.filter(id__in=keys):
        facts = facts_of(whom, row.id)
        if not is_history:
            facts |= CLOSED[of]
        facts = {name: value for name, value in facts.items() if getattr(row, name) != value}
        if facts:
            yield row.pk, facts


CLOSED = {
    Person: {"bookable": False, "retired": True},
    User: {"is_active": False},
    Client: {"retired": True},
}


def _of_person(whom: Whom, key: int) -> dict:
    return {"name": whom.instead, "credited_as": "", "email": "", "phone": ""}


def _of_user(whom: Whom, key: int) -> dict:
    first, last = whom.instead.split(" ", 1)
    return {"username": f"erased-{key}", "first_name": first, "last_name": last, "email": ""}


def _of_client(whom: Whom, key: int) -> dict:
    return {"name": f"Erased client {key}", "email": "", "phone": "", "address": "", "note": ""}
