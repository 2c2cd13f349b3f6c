"""People, clients, projects, rooms and gear: few enough to be read whole whenever somebody asks.

They are found themselves, and songs and sessions by them: these keep a reference (`#u17`) to each in
the place of its name.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from gear.equipment.models import GearModel, Unit
from sessions.clients.models import Person, Project
from sessions.recall.finding.likeness import Forms, Vocabulary
from sessions.recall.finding.matching import Asked, Ring, text_of
from sessions.recall.finding.terms import Term
from sessions.recall.finding.words import words_of_all
from sessions.rooms.models import Room


def person_ref(key: int | None) -> str:
    return f"#p{key}" if key else ""


def project_ref(key: int | None) -> str:
    return f"#j{key}" if key else ""


def room_ref(key: int | None) -> str:
    return f"#r{key}" if key else ""


def unit_ref(key: int | None) -> str:
    return f"#u{key}" if key else ""


@dataclass(frozen=True)
class Entity:
    """`named` are the words by which others are found through it, `said` those that only find itself."""

    row: object
    ref: str
    named: frozenset[str]
    said: frozenset[str] = field(default=frozenset())

    @property
    def words(self) -> frozenset[str]:
        return self.named | self.said


class Entities:
    """All that the user may know of, in a constant number of queries: of people, who may not see them
    all knows those that stand in `texts`, which are visible."""

    def __init__(self, user, texts: Iterable[Vocabulary]):
        projects = Project.objects.visible_to(user).select_related("client")
        self.projects = [_project(row) for row in projects]
        people = map(_person, Person.objects.select_related("client"))
        sees_all, texts = user.has_perm("studio_sessions.see_contacts"), list(texts)
        self.people = [
            person for person in people if sees_all or any(person.ref in text for text in texts)
        ]
        self.rooms = [_room(row) for row in Room.objects.all()]
        self.units = [_unit(row) for row in Unit.objects.for_list()]

    @property
    def _all(self) -> list[Entity]:
        return [*self.projects, *self.people, *self.rooms, *self.units]

    @cached_property
    def by_ref(self) -> dict[str, object]:
        return {entity.ref: entity.row for entity in self._all}

    @cached_property
    def vocabulary(self) -> Vocabulary:
        return Vocabulary(text_of(each.named) for each in self._all)

    def refs_of(self, terms: Sequence[Term], known: Collection[str]) -> list[Forms]:
        """For each term, the references of what it names, each with its likeness."""
        asked = Asked(terms, [{}] * len(terms), self.vocabulary, known)
        refs: list[Forms] = [{} for _ in terms]
        for entity in self._all:
            match = asked.match([Ring(1, text_of(entity.named))])
            for forms, likeness in zip(refs, match.by_term, strict=True):
                if likeness:
                    forms[entity.ref] = likeness
        return refs


def _project(row: Project) -> Entity:
    named = words_of_all([row.name, row.artist, row.client.name])
    return Entity(row, project_ref(row.pk), frozenset(named), frozenset(words_of_all([row.note])))


def _person(row: Person) -> Entity:
    named = words_of_all([row.name, row.does])
    return Entity(row, person_ref(row.pk), frozenset(named))


def _room(row: Room) -> Entity:
    return Entity(row, room_ref(row.pk), frozenset(words_of_all([row.name])))


def _unit(row: Unit) -> Entity:
    model: GearModel = row.model
    kinds = [model.get_category_display(), model.get_transducer_display()]
    named = words_of_all([row.asset_tag, model.maker, model.name, *kinds])
    said = words_of_all(
        [row.serial_number, row.note, row.home, row.get_state_display(), model.note]
    )
    return Entity(row, unit_ref(row.pk), frozenset(named), frozenset(said))
