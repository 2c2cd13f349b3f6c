"""What kinds of stored papers differ in. Each kind stands in the slice that knows what it prints."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from django.db.models import Model, QuerySet

from sessions.papers.pdf import Enclosure


@dataclass(frozen=True)
class Contents:
    """What a paper says: what its template is given, and the file that it carries.

    `said`: all that it prints besides that file, where this is known sooner than by rendering it.
    """

    context: dict
    enclosure: Enclosure | None = None
    said: str | None = None
    is_long: bool = False  # takes longer to make than somebody should wait for a page


@dataclass(frozen=True, eq=False)
class PaperKind:
    """`path` is where it stands in the code, by which papers and tasks name it.

    `follows`: models by their lookup from a subject. When one changes, the papers that were made are
    soon made anew, before anybody asks for them, and those of subjects in `ahead` are made that
    nobody ever asked for. What else changes is noticed when somebody asks.
    """

    path: str
    called: str  # in its title
    page: str  # URL name of the page that such a paper belongs to, by the key of its subject
    template: str
    subjects: QuerySet  # with what `contents` wants loaded
    contents: Callable[[Model, str], Contents]  # of a subject, for the page at that address
    follows: Mapping[str, type[Model]]
    ahead: QuerySet

    def title(self, subject: Model) -> str:
        return f"{self.called}: {subject}"
