"""Replacing somebody's names and addresses wherever they stand. No row is deleted that work refers to."""

from collections.abc import Collection

from axes.models import AccessAttempt, AccessFailureLog, AccessLog
from django.db.models import CASCADE, F, Model, QuerySet
from django.utils import timezone
from django.utils.formats import date_format

from gear.editing.versions import Counted
from sessions.calendar.feeds.models import FeedAddress
from sessions.clients.models import Client, Person
from sessions.deliveries.models import DeliveryLink
from sessions.letters.models import Letter, LetterFile, LetterState
from studio.erasing.fields import walked, walked_models
from studio.erasing.letter_files import contents_without
from studio.erasing.made_anew import take_away_papers, take_away_search_texts
from studio.erasing.own import own_facts
from studio.erasing.seeking import rows_with
from studio.erasing.whom import Whom
from studio.erasures import Erasure
from studio.models import User

AT_ONCE = 500  # rows
Plan = dict[type[Model], list]  # keys of rows, by their model


def plan(whom: Whom) -> Plan:
    """Which rows say anything of them that would go. Reads only."""
    found = {model: list(_facts(whom, model)) for model in walked_models()}
    return {model: keys for model, keys in found.items() if keys}


def erase(whom: Whom, planned: Plan, *, ran_as: str = "") -> Erasure:
    """Replace what was found, and end what lets them in or writes to them. History rows say that
    something was taken out of them; the erasure says of which, by their keys.

    Each row is read anew, so what somebody saved since the plan was made stays, without the names. To be
    called again with another plan for what came meanwhile.
    """
    now = timezone.now()
    gap = f"Personal data erased on {date_format(timezone.localtime(now), 'j M Y')}"
    of = {
        "person_key": whom.person.pk if whom.person else None,
        "user_key": whom.user.pk if whom.user else None,
    }
    with Erasure.opened(at=now, ran_as=ran_as, **of) as erasure:
        _shut_out(whom, now)
        for model, keys in planned.items():
            for first in range(0, len(keys), AT_ONCE):
                some = keys[first : first + AT_ONCE]
                for key, facts in _facts(whom, model, some).items():
                    _change(model, key, facts, gap)
            erasure.changed[model._meta.db_table] = [
                key if isinstance(key, int) else str(key) for key in keys
            ]
        take_away_search_texts(whom.words)
        take_away_papers()
    return erasure


def _facts(whom: Whom, model: type[Model], keys: Collection | None = None) -> dict[object, dict]:
    """The new facts of rows, by their key; given keys, only of those, which are locked."""
    found = {}
    for key, facts in rows_with(whom.words, model, walked(model), whom.people, keys):
        found[key] = facts
    for key, facts in own_facts(whom, model):
        if keys is None or key in keys:
            found.setdefault(key, {}).update(facts)
    if model is LetterFile:
        for key, facts in contents_without(whom, keys):
            found.setdefault(key, {}).update(facts)
    return found


def _change(model: type[Model], key, facts: dict, gap: str) -> None:
    rows = model._base_manager.filter(pk=key)
    if model in (Person, User, Client):  # their own page says so, too
        thing = rows.get()
        thing.version += 1
        for name, value in facts.items():
            setattr(thing, name, value)
        thing._change_reason = gap
        thing.save()
        return
    if hasattr(model, "history_type"):
        facts = facts | {"history_change_reason": gap}
    if issubclass(model, Counted):
        facts = facts | {"version": F("version") + 1}
    rows.update(**facts)


def _shut_out(whom: Whom, now) -> None:
    """Nothing opens to them any more, and nothing more is written to them."""
    links = (
        FeedAddress.objects.filter(person__in=whom.people),
        DeliveryLink.objects.filter(recipient__person__in=whom.people),
    )
    for link in (each for some in links for each in some.filter(revoked_at=None)):
        link.revoke(now)
    waiting = Letter.objects.not_sent().filter(person__in=whom.people)
    waiting.update(state=LetterState.REPLACED, secret="", error="")
    if whom.user:
        _close(whom.user)


def _close(user: User) -> None:
    """What goes with a sign-in is deleted: links, devices, web sessions, counts of wrong passwords."""
    for rows in _that_go_with(user):
        rows.delete()
    called = [user.username, *user.history.values_list("username", flat=True)]
    for attempts in (AccessAttempt, AccessFailureLog, AccessLog):
        attempts.objects.filter(username__in=called).delete()
    if user.has_usable_password():
        user.set_unusable_password()
        user.save(update_fields=["password"])


def _that_go_with(user: User) -> list[QuerySet]:
    return [
        relation.related_model._base_manager.filter(**{relation.field.name: user})
        for relation in User._meta.related_objects
        if relation.on_delete is CASCADE
    ]
