"""Which rows hold any of somebody's words: the database says which may, Python which do."""

import json
from collections.abc import Collection, Iterator
from functools import reduce
from operator import or_

from django.db.models import Field, ForeignKey, Model, Q, QuerySet, TextField
from django.db.models.functions import Cast

from sessions.clients.models import Person
from studio.erasing.fields import texts_of
from studio.erasing.words import Word, Words


def rows_with(
    words: Words,
    model: type[Model],
    fields: list[Field],
    people: Collection[int] = (),
    keys: Collection | None = None,
) -> Iterator[tuple[object, dict]]:
    """Key and new facts of each row in which any of the words stands; in rows that point to one of the
    people any of those, too, that may be others' as well. Given keys, only of those rows, which are
    locked. One query, or two where the model points to people."""
    if not fields:
        return
    rows = model._base_manager.order_by("pk")
    if keys is not None:
        rows = rows.filter(pk__in=keys).select_for_update(no_key=True)
    for theirs, some in _candidates(words, rows, fields, people):
        for key, *values in some.iterator(chunk_size=500):
            facts = {}
            for each, value in zip(fields, values, strict=True):
                said = _plain(each, value)
                erased = words.erased(said, theirs=theirs)
                if erased != said:
                    facts[each.name] = _fitted(each, erased)
            if facts:
                yield key, facts


def rows_that_keep(words: Words, model: type[Model], names: Collection[str] | None = None) -> int:
    """How many rows hold any of it, in the fields of these names."""
    fields = [each for each in texts_of(model) if names is None or each.name in names]
    return sum(1 for _ in rows_with(words, model, fields))


def _candidates(words: Words, rows: QuerySet, fields: list[Field], people: Collection[int]):
    names = ["pk", *(each.name for each in fields)]
    pointing = [
        Q(**{f"{each.attname}__in": people})
        for each in rows.model._meta.local_fields
        if isinstance(each, ForeignKey) and each.related_model is Person
    ]
    if people and pointing:
        point = reduce(or_, pointing)
        yield True, _holding(words.theirs, rows.filter(point), fields).values_list(*names)
        rows = rows.exclude(point)
    yield False, _holding(words.anywhere, rows, fields).values_list(*names)


def _holding(words: list[Word], rows, fields: list[Field]):
    """Those in which the longest part of a word stands, somehow."""
    rows = rows.alias(**{f"text_{each.name}": Cast(each.name, TextField()) for each in fields})
    parts = {part for word in words for part in _as_stored(word.longest_part)}
    holds = Q(pk__in=[])  # no row, where no word is sought
    for each in fields:
        for part in sorted(parts):
            holds |= Q(**{f"text_{each.name}__icontains": part})
    return rows.filter(holds)


def _as_stored(part: str) -> set[str]:
    """SQLite knows capitals of ASCII only, and keeps JSON with all other letters escaped."""
    written = {part} if part.isascii() else {part, part.lower(), part.upper(), part.capitalize()}
    return written | {json.dumps(each)[1:-1] for each in written}


def _plain(field: Field, value):
    """As it is stored, where a JSON field makes objects of it."""
    encoder = getattr(field, "encoder", None)
    return json.loads(json.dumps(value, cls=encoder)) if encoder else value


def _fitted(field: Field, value):
    longest = field.max_length if isinstance(value, str) else None
    return value[:longest] if longest else value
