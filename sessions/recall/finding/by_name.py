"""People, clients, projects, gear and papers: what is found by what stands on it. Each group holds what
the user's own pages show, and nothing else."""

from collections.abc import Collection, Iterable, Sequence

from django.db.models import Q
from django.urls import reverse

from gear.equipment.models import GearModel, Unit
from sessions.clients.models import Client, Person, Project
from sessions.money.models import MoneyPaper
from sessions.recall.finding.entities import Entities, Entity
from sessions.recall.finding.hits import Group, Hit, day_of, joined
from sessions.recall.finding.likeness import Forms, Vocabulary
from sessions.recall.finding.matching import AROUND, OWN, Asked, Ring, text_of
from sessions.recall.finding.terms import Term
from sessions.recall.finding.words import pieces, words_of_all
from sessions.recall.models import ImportedSheet

Sought = list[
    tuple[object, set[str] | frozenset[str], set[str]]
]  # with its own words, and those around it
NEWEST_PAPERS = 200  # are looked through where no number was typed


class ByName:
    def __init__(self, terms: Sequence[Term], entities: Entities, user, known: Collection[str]):
        self.terms, self.entities, self.user, self.known = terms, entities, user, known

    def groups(self) -> list[Group]:
        groups = [self.projects()]
        if self.user.has_perm("studio_sessions.see_contacts"):
            groups += [self.clients(), self.people()]
        groups += [self.units(), self.models(), self.imported_sheets()]
        if self.user.has_perm("studio_sessions.see_money"):
            groups.append(self.papers())
        return groups

    def projects(self) -> Group:
        rows = self._holding(_all_words(self.entities.projects))
        return Group.of("Projects", [_project_hit(row) for row in rows])

    def clients(self) -> Group:
        sought: Sought = [
            (
                client,
                words_of_all([client.name, client.email, client.address, client.note])
                | words_of_phone(client.phone),
                set(),
            )
            for client in Client.objects.all()
        ]
        return Group.of("Clients", [_client_hit(row) for row in self._holding(sought)])

    def people(self) -> Group:
        sought: Sought = []
        for entity in self.entities.people:
            person = entity.row
            reached = words_of_all([person.email]) | words_of_phone(person.phone)
            client = words_of_all([person.client and person.client.name])
            sought.append((person, entity.words | reached, client))
        return Group.of("People", [_person_hit(row) for row in self._holding(sought)])

    def units(self) -> Group:
        rows = self._holding(_all_words(self.entities.units))
        return Group.of("Units", [_unit_hit(row) for row in rows])

    def models(self) -> Group:
        sought: Sought = [
            (
                model,
                words_of_all([model.maker, model.name, model.note])
                | words_of_all([model.get_category_display(), model.get_transducer_display()]),
                set(),
            )
            for model in GearModel.objects.all()
        ]
        return Group.of("Models", [_model_hit(row) for row in self._holding(sought)])

    def imported_sheets(self) -> Group:
        sheets = ImportedSheet.objects.visible_to(self.user).defer("data")
        sought: Sought = [
            (
                sheet,
                words_of_all([sheet.title, sheet.studio, sheet.file_name]),
                words_of_all([sheet.song and sheet.song.title, "imported sheet"]),
            )
            for sheet in sheets.select_related("song")
        ]
        return Group.of("Imported sheets", [_imported_hit(row) for row in self._holding(sought)])

    def papers(self) -> Group:
        """By number, by kind, or by their note; of whom and for what they are narrows them down."""
        papers = MoneyPaper.objects.visible_to(self.user).select_related("session__project__client")
        numbers = [int(w) for term in self.terms for w in term.words if _is_number(w)]
        newest = papers.order_by("-issued_at", "-pk").values("pk")[:NEWEST_PAPERS]
        found = papers.filter(
            Q(number__in=numbers) | Q(pk__in=list(newest.values_list("pk", flat=True)))
        )
        sought: Sought = []
        for paper in found.order_by("-issued_at", "-pk"):
            project = paper.session.project
            about = [paper.session.title, project.name, project.artist, project.client.name]
            own = words_of_all([paper.get_kind_display(), str(paper.number), paper.note])
            sought.append((paper, own, words_of_all(about)))
        return Group.of("Papers", [_paper_hit(row) for row in self._holding(sought)])

    def _holding(self, sought: Sought) -> list:
        """Those that hold all terms, one of them in their own words: the likest first, else in the
        order in which they came."""
        texts = [(row, text_of(own), text_of(around)) for row, own, around in sought]
        none: list[Forms] = [{} for _ in self.terms]
        words = Vocabulary(text for _, *both in texts for text in both)
        asked = Asked(self.terms, none, words, self.known)
        scored = [
            (asked.holds(Ring(OWN, own), Ring(AROUND, around)), row) for row, own, around in texts
        ]
        held = [(score, row) for score, row in scored if score]
        return [row for _, row in sorted(held, key=lambda each: -each[0])]


def _all_words(entities: Iterable[Entity]) -> Sought:
    return [(entity.row, entity.words, set()) for entity in entities]


def _is_number(word: str) -> bool:
    return word.isdecimal() and len(word) < 9


def words_of_phone(phone: str) -> set[str]:
    """Each of its groups of figures, and any that follow each other written as one."""
    groups = pieces(phone)
    ends = range(1, len(groups) + 1)
    return {"".join(groups[first:end]) for end in ends for first in range(end)}


def _project_hit(project: Project) -> Hit:
    return Hit(str(project), joined(project.artist, project.client), project.get_absolute_url())


def _client_hit(client: Client) -> Hit:
    retired = "retired" if client.retired else ""
    return Hit(str(client), joined(client.phone, client.email, retired), client.get_absolute_url())


def _person_hit(person: Person) -> Hit:
    retired = "retired" if person.retired else ""
    said = joined(person.does, person.client, person.phone, person.email, retired)
    return Hit(str(person), said, person.get_absolute_url())


def _unit_hit(unit: Unit) -> Hit:
    kind = unit.model.get_transducer_display() or unit.model.get_category_display()
    said = joined(kind, unit.home, unit.standing, unit.note)
    return Hit(str(unit), said, unit.get_absolute_url())


def _model_hit(model: GearModel) -> Hit:
    said = joined(model.get_category_display(), model.get_transducer_display())
    return Hit(str(model), said, model.get_absolute_url())


def _imported_hit(sheet: ImportedSheet) -> Hit:
    said = joined(sheet.song or "preview", day_of(sheet.imported_at))
    return Hit(str(sheet), said, sheet.get_absolute_url())


def _paper_hit(paper: MoneyPaper) -> Hit:
    session = paper.session
    said = joined(session, session.project.client, day_of(paper.issued_at))
    return Hit(str(paper), said, reverse("money:paper_pdf", args=[paper.pk]))
