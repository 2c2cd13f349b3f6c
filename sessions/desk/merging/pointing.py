"""What points to a client or a person, from whatever table, and how it comes to point to another."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Exists, F, Field, Model, OuterRef, Q, QuerySet, UniqueConstraint
from django.utils.text import capfirst
from simple_history.utils import bulk_update_with_history

from gear.editing.versions import Counted
from sessions.bookings.models import Reservation, Told
from sessions.clients.models import Person
from sessions.letters.models import LetterTopic
from sessions.rooms.models import WeeklyHours
from sessions.terms.agreements.models import Agreement

#: Where both have such rows, those of the one who is kept stand. In words of a page.
KEPT_ALONE = {WeeklyHours: "Working hours", Agreement: "Agreed rates, terms and days to pay"}
#: What a page calls one and more rows of tables whose own words are none.
WORDS = {Person: ("person", "people"), WeeklyHours: ("day of working hours",) * 2}
UNSEEN = {Told}  # what was told to whom is nobody's to see


@dataclass(frozen=True)
class Pointer:
    """A foreign key to a client or a person."""

    field: Field

    @property
    def model(self) -> type[Model]:
        return self.field.model

    def rows_of(self, thing: Model) -> QuerySet:
        return self.model._base_manager.filter(**{self.field.name: thing})

    def move(self, *, of: Model, to: Model, by) -> None:
        """Let what points to one point to the other; rows with a history say so there."""
        rows = self.rows_of(of)
        if self.goes(of, to):
            for row in rows:
                row.delete()
            return
        if not hasattr(self.model, "history"):
            rows.update(**{self.field.attname: to.pk})
            return
        found = list(rows)
        names = [self.field.name]
        for row in found:
            setattr(row, self.field.name, to)
            if isinstance(row, Counted):
                row.version += 1
        if issubclass(self.model, Counted):
            names.append("version")
        bulk_update_with_history(
            found,
            self.model,
            names,
            default_user=by,
            default_change_reason=merged_in_words(of),
            manager=self.model._base_manager,
        )

    def goes(self, of: Model, to: Model) -> bool:
        """Whether what the other has goes with the other, since only one can have it and has it."""
        return self.model in KEPT_ALONE and self.rows_of(to).exists() and self.rows_of(of).exists()

    def in_the_way(self, kept: Model, other: Model) -> Iterator[str]:
        """Where both have what only one of them can have, in sentences."""
        if self.model in KEPT_ALONE:
            return
        for others, condition in self._once():
            same = self.rows_of(kept).filter(condition, **{name: OuterRef(name) for name in others})
            for row in self.rows_of(other).filter(condition).filter(Exists(same)):
                word = capfirst(str(self.model._meta.verbose_name))
                yield f"{word}, both have it: {row}. Remove or rename that of one of them first."

    def _once(self) -> Iterator[tuple[list[str], Q]]:
        """Beside what other fields of the table this one stands once."""
        if self.field.unique:
            yield [], Q()
        for constraint in self.model._meta.constraints:
            if isinstance(constraint, UniqueConstraint):
                names = list(constraint.fields) or [
                    each.name for each in constraint.expressions if isinstance(each, F)
                ]
                if self.field.name in names:
                    others = [name for name in names if name != self.field.name]
                    yield others, constraint.condition or Q()


def merged_in_words(thing: Model) -> str:
    """For histories, whose reasons have at most 100 characters."""
    return f"Merged with {thing}"[:100]


def pointers_to(model: type[Model]) -> list[Pointer]:
    """All foreign keys to the model but those of histories and of many-to-many tables."""
    return [
        Pointer(relation.field)
        for relation in model._meta.get_fields(include_hidden=True)
        if relation.auto_created
        and (relation.one_to_many or relation.one_to_one)
        and not hasattr(relation.related_model, "history_type")
        and not hasattr(relation.related_model, "m2m_history_id")
        and not relation.related_model._meta.auto_created
    ]


def links_to(model: type[Model]) -> list[Field]:
    """The many-to-many fields of other models to this one."""
    return [
        relation.field
        for relation in model._meta.get_fields(include_hidden=True)
        if relation.auto_created and relation.many_to_many
    ]


def move_all(*, of: Model, to: Model, by) -> None:
    """All that points to one points to the other. Inside a transaction."""
    for pointer in pointers_to(type(of)):
        pointer.move(of=of, to=to, by=by)
    for field in links_to(type(of)):
        for row in field.model._base_manager.filter(**{field.name: of}):
            links = getattr(row, field.name)
            links.add(to)
            links.remove(of)
    _topics_of(of).update(about_id=to.pk)


def what_goes(of: Model, to: Model) -> list[str]:
    """In words, what of the other is kept nowhere."""
    return [KEPT_ALONE[each.model] for each in pointers_to(type(of)) if each.goes(of, to)]


def what_moves(thing: Model, to: Model) -> list[str]:
    """In words, how much points to it and will point to the other: "3 reservations". A query for each
    table."""
    found = [
        (each.rows_of(thing), _words_of(each.model))
        for each in pointers_to(type(thing))
        if each.model not in UNSEEN and not each.goes(thing, to)
    ]
    for field in links_to(type(thing)):
        linked = field.model._base_manager.filter(**{field.name: thing})
        found.append((linked, _words_of(field.model)))
    found.append((_topics_of(thing), ("letter about it", "letters about it")))
    counts = [(rows.count(), words) for rows, words in found]
    return [f"{count} {words[count > 1]}" for count, words in counts if count]


def _words_of(model: type[Model]) -> tuple[str, str]:
    own = str(model._meta.verbose_name), str(model._meta.verbose_name_plural)
    return WORDS.get(model, own)


def reasons_against(kept: Model, other: Model) -> list[str]:
    """Why the two cannot become one yet, in sentences."""
    reasons = [
        reason for pointer in pointers_to(type(kept)) for reason in pointer.in_the_way(kept, other)
    ]
    if getattr(kept, "user", None) and getattr(other, "user", None):
        reasons.append("Both sign in. Take the sign-in from one of them first.")
    return reasons + list(_booked_at_once(kept, other))


def _booked_at_once(kept: Model, other: Model) -> Iterator[str]:
    if not any(pointer.model is Reservation for pointer in pointers_to(type(kept))):
        return
    at_once = Reservation.objects.filter(
        person=kept,
        rank=OuterRef("rank"),
        starts_at__lt=OuterRef("ends_at"),
        ends_at__gt=OuterRef("starts_at"),
    )
    both = Reservation.objects.filter(person=other, rank__isnull=False).for_list()
    for each in both.filter(Exists(at_once)).exclude(session__reservations__person=kept):
        yield f"{kept} is booked at the time of {each.holder}, for which {other} is."


def _topics_of(thing: Model) -> QuerySet:
    return LetterTopic.objects.filter(
        about_type__app_label=thing._meta.app_label,
        about_type__model=thing._meta.model_name,
        about_id=thing.pk,
    )
