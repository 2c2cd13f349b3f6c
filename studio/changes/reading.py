"""Entries of histories, read as changes: who, when, what became of which thing, from what to what."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from operator import attrgetter

from django.db.models import Field, Model
from django.utils import timezone
from django.utils.text import capfirst

from sessions.bookings.models import RecordingSession
from sessions.periods import moment_in_words
from sessions.songs.models import Song
from sessions.terms.agreements.models import Agreement
from studio.changes.entries import Noted, Place, loaded, newest
from studio.changes.kinds import KINDS, Kind
from studio.changes.names import Names, kind_of
from studio.changes.words import MOST_FACTS, changed, from_to, given, label_of, linked
from studio.models import User

BY_THE_STUDIO = "The studio"  # what the clock brings about, and what was done from the command line
DONE = {"+": "created", "~": "", "-": "removed"}


@dataclass(frozen=True)
class Change:
    """One entry: of what (`kind` and `name`, `of` what that is a part), and each fact that changed.
    What it is about is left out on the page of that thing."""

    when: datetime
    who: str
    kind: str
    name: str
    of: str
    address: str
    what: str
    facts: list[str]
    place: Place

    @property
    def thing(self) -> str:
        return capfirst(" ".join(filter(None, [self.kind, self.name])))

    @property
    def day(self) -> date:
        return timezone.localdate(self.when)

    @property
    def moment(self) -> str:
        return moment_in_words(self.when)

    @property
    def time(self) -> str:
        return self.moment.rpartition(", ")[2]

    @property
    def lines(self) -> list[str]:
        """One for each fact that changed; what is new, or no more, is said in one."""
        return [self.in_words] if self.what else self.facts

    @property
    def in_words(self) -> str:
        return ": ".join(filter(None, [self.what, "; ".join(self.facts)]))


def changes(
    noted: list[Noted],
    user: User,
    *,
    limit: int,
    behind: Place | None = None,
    about: Model | None = None,
) -> tuple[list[Change], Place | None]:
    """The newest, last first, and the place to go on behind if there are more; on the page `about` one
    thing that is not named again. What changed nothing that the user may read is left out.

    Costs one query, two for each model that is among them, and one for each that those name.
    """
    keys = newest(noted, limit=limit + 1, behind=behind)
    of = defaultdict(list)
    for number, key in keys[:limit]:
        of[number].append(key)
    read = {number: loaded(noted[number], wanted) for number, wanted in of.items()}
    sees_money = user.has_perm("studio_sessions.see_money")
    entries = [
        _Entry(
            noted[number],
            Place(getattr(read[number][key][0], noted[number].at), number, key),
            *read[number][key],
            sees_money,
        )
        for number, key in keys[:limit]
    ]
    names = Names()
    _load_links(entries, names)
    for entry in entries:
        entry.want(names)
    names.load()
    told = [change for entry in entries if (change := entry.told(names, about))]
    more = entries[-1].place if len(keys) > limit else None
    return told, more


class _Entry:
    def __init__(self, noted: Noted, place: Place, row: Model, before: Model | None, sees_money):
        self.noted, self.place, self.row, self.before = noted, place, row, before
        self.model, self.links = noted.model, {}
        self.type = row.history_type if noted.is_history else "+"
        keys = (field for field in _owners().get(noted.model, ()) if getattr(row, field.attname))
        self.owner = next(keys, None)
        hidden = getattr(self.model, "MONEY_FIELDS", frozenset())
        hidden = frozenset() if sees_money else hidden
        self.fields = []
        if noted.is_history and self.type == "~" and before is not None:
            self.fields = changed(row, before, hidden)
        elif noted.is_history and self.type == "+":
            self.fields = given(row, hidden, self.owner)
        self.thing = row.instance if noted.is_history else row

    def want(self, names: Names) -> None:
        names.want_words_of(self.thing)
        for each in filter(None, (self.row, self.before)):
            for field in self.fields:
                if field.is_relation:
                    names.want(field.related_model, [getattr(each, field.attname)])
            names.want_controls(getattr(each, "panel_id", None))
        if self.owner:
            names.want(self.owner.related_model, [getattr(self.row, self.owner.attname)])
        names.want(self.model, [self.thing.pk])
        for target, old, new in self.links.values():
            names.want(target, old | new)

    def told(self, names: Names, about: Model | None) -> Change | None:
        facts = [
            said
            for field in self.fields
            for said in from_to(self.row, self.before if self.type == "~" else None, field, names)
        ]
        if self.type == "+" and len(facts) > MOST_FACTS:
            facts = [*facts[:MOST_FACTS], f"and {len(facts) - MOST_FACTS} more"]
        facts += [
            linked(label, *({names.of(target, key) for key in keys} for keys in (old, new)))
            for label, (target, old, new) in self.links.items()
        ]
        what = self._what
        if not (what or facts):
            return None
        is_it = isinstance(about, self.model) and about.pk == self.thing.pk
        return Change(
            when=getattr(self.row, self.noted.at),
            who=self._who,
            kind="" if is_it else kind_of(self.model),
            name="" if is_it else names.words_of(self.thing),
            of=self._of(names, about),
            address=self._address(names),
            what=what,
            facts=facts,
            place=self.place,
        )

    @property
    def _what(self) -> str:
        if not self.noted.is_history:
            return ""
        if self.type == "~" and self.before is None:
            return self.row.history_change_reason or "changed"  # before changes of it were noted
        return self.row.history_change_reason or DONE[self.type]

    @property
    def _who(self) -> str:
        said = getattr(self.row, "said_by", "") or getattr(self.row, "ran_as", "")
        by = getattr(self.row, self.noted.by, None) if self.noted.by else None
        return str(by or said or BY_THE_STUDIO)

    def _of(self, names: Names, about: Model | None) -> str:
        if not self.owner:
            return ""
        model, key = self.owner.related_model, getattr(self.row, self.owner.attname)
        is_it = isinstance(about, model) and about.pk == key
        return "" if is_it else names.of(model, key)

    def _address(self, names: Names) -> str:
        """Of the page that shows the thing, or what it is a part of, if that is still there."""
        of = [(self.model, self.thing.pk)]
        if self.owner:
            of.append((self.owner.related_model, getattr(self.row, self.owner.attname)))
        for model, key in of:
            if model in _pages() and names.is_there(model, key):
                return _pages()[model].address(key)
        return ""


def _load_links(entries: list[_Entry], names: Names) -> None:
    """Of fields that name several: one query for each such field."""
    of = defaultdict(list)
    for entry in entries:
        if entry.noted.is_history and entry.type == "~" and entry.before is not None:
            of[type(entry.row)].append(entry)
    for history, theirs in of.items():
        for field in history._history_m2m_fields:
            kept = getattr(theirs[0].row, field.name).model
            keys = {each.pk for entry in theirs for each in (entry.row, entry.before)}
            found = defaultdict(set)
            rows = kept.objects.filter(history__in=keys)
            for entry_key, key in rows.values_list("history_id", field.m2m_reverse_field_name()):
                found[entry_key].add(key)
            for entry in theirs:
                old, new = found[entry.before.pk], found[entry.row.pk]
                if old != new:
                    entry.links[label_of(field)] = (field.related_model, old, new)


@cache
def _owners() -> dict[type[Model], list[Field]]:
    """The keys by which the rows of a model belong to what they are a part of: hours to a room or to
    a person. The first that leads anywhere counts."""
    names = defaultdict(list, {RecordingSession: ["project"], Song: ["project"]})
    for kind in KINDS.values():
        for part in filter(attrgetter("via"), kind.parts):
            names[part.model].append(part.via)
    return {model: [*map(model._meta.get_field, some)] for model, some in names.items()}


@cache
def _pages() -> dict[type[Model], Kind]:
    """Of each model whose rows have a page, the kind that has it; an agreement has one of its own only
    where it is the house’s."""
    found = {kind.model: kind for kind in KINDS.values() if kind.itself}
    del found[Agreement]
    return found
