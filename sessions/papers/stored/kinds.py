"""What kinds of paper are kept differ in. Each kind stands in the slice that knows what it prints."""

from collections.abc import Callable
from dataclasses import dataclass

from django.db.models import Model, QuerySet

from sessions.papers.pdf import Enclosure, PaperSize


@dataclass(frozen=True)
class Contents:
    """What a paper says: what its template is given, and the file that it carries."""

    context: dict
    enclosure: Enclosure | None = None


@dataclass(frozen=True, eq=False)
class PaperKind:
    """A kind of paper that is made once and kept.

    `reads` names every model that is printed, or that decides who may see it, so that a change of
    any is noticed; whatever has no history of its own only changes together with one of them.
    """

    name: str
    called: str  # in its title
    page: str  # URL name of the page that such a paper belongs to, by the key of its subject
    template: str
    subjects: QuerySet  # with what `contents` wants loaded
    contents: Callable[[Model, str], Contents]  # of a subject, for the page at that address
    reads: tuple[type[Model], ...]

    def title(self, subject: Model) -> str:
        return f"{self.called}: {subject}"


@dataclass(frozen=True)
class Wanted:
    """Which paper somebody asks for."""

    kind: PaperKind
    subject: int
    size: PaperSize
    address: str

    def said(self) -> str:
        return f"{self.kind.name} {self.subject} {self.size} {self.address}"
