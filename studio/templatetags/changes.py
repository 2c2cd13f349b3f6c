"""Who changed what, and when, of anything that keeps a history. `{% load changes %}`."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from django import template
from django.db.models import Field, JSONField, Model
from django.utils.text import capfirst

register = template.Library()

NEWEST = 20
LONGEST_VALUE = 40  # characters; of longer texts the page says only that they changed
KINDS = {"+": "created", "~": "", "-": "deleted"}


@dataclass(frozen=True)
class Change:
    """One entry of a history: what was done in a word or sentence, and each field that changed."""

    who: str
    when: datetime
    what: str
    fields: list[str]


@register.inclusion_tag("components/changes.html", takes_context=True)
def changes(context, thing: Model) -> dict:
    """The newest changes of `thing`, folded away, in a constant number of queries. Those of its
    `MONEY_FIELDS` are shown where prices may be seen."""
    user = context.get("user")
    sees_all = user is not None and user.has_perm("studio_sessions.see_money")
    hidden = frozenset() if sees_all else getattr(thing, "MONEY_FIELDS", frozenset())
    return {"changes": changes_of(thing, hidden=hidden)}


def changes_of(
    thing: Model, newest: int = NEWEST, hidden: frozenset[str] = frozenset()
) -> list[Change]:
    """The newest changes, last first; an entry that changed nothing, or `hidden` fields alone, is left
    out.

    Costs one query, and one for each many-to-many field whose history is kept.
    """
    entries = list(thing.history.select_related("history_user")[: newest + 1])
    links = _linked_keys(entries)
    befores = [*entries[1:], None]
    found = [
        _change(entry, before, links, hidden)
        for entry, before in zip(entries, befores, strict=True)
    ]
    return [change for change in found if change.what or change.fields][:newest]


def _linked_keys(entries: list) -> dict[str, dict[int, set[int]]]:
    """For each many-to-many field: entry -> keys of what it was linked to."""
    linked = {}
    for field in entries[0]._history_m2m_fields if entries else ():
        kept = getattr(entries[0], field.name).model
        rows = kept.objects.filter(history__in=[entry.pk for entry in entries])
        keys = defaultdict(set)
        for entry, key in rows.values_list("history_id", field.m2m_reverse_field_name()):
            keys[entry].add(key)
        linked[capfirst(field.verbose_name)] = keys
    return linked


def _change(entry, before, links, hidden) -> Change:
    fields = []
    if before is not None:
        fields = [
            _in_words(entry, before, field)
            for field in entry.tracked_fields
            if field.editable
            and field.name not in hidden
            and getattr(entry, field.attname) != getattr(before, field.attname)
        ]
        fields += [name for name, keys in links.items() if keys[entry.pk] != keys[before.pk]]
    who = str(entry.history_user) if entry.history_user else "The system"
    what = entry.history_change_reason or KINDS[entry.history_type]
    return Change(who, entry.history_date, what, fields)


def _in_words(entry, before, field: Field) -> str:
    """The field's name, with old and new value where both are short and say something by themselves."""
    name = capfirst(field.verbose_name)
    if field.is_relation or isinstance(field, JSONField):
        return name
    old, new = _value(before, field), _value(entry, field)
    if max(len(old), len(new)) > LONGEST_VALUE:
        return name
    return f"{name}: {old or 'empty'} → {new or 'empty'}"


def _value(entry, field: Field) -> str:
    if field.choices:
        return str(getattr(entry, f"get_{field.name}_display")())
    value = getattr(entry, field.name)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)
