"""What kinds of stored papers differ in. Each kind stands in the slice that knows what it prints."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from urllib.parse import urljoin

from django.db.models import Model, QuerySet
from django.urls import reverse
from django.utils import timezone

from sessions.papers.pdf import Enclosure, render_pdf


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
    title: Callable[[Model], str]
    page: str  # URL name of the page that such a paper belongs to
    template: str
    subjects: QuerySet  # with what `contents` wants loaded
    contents: Callable[[Model, str], Contents]  # of a subject, for the page at that address
    follows: Mapping[str, type[Model]] = field(default_factory=dict)
    ahead: QuerySet | None = None
    for_client: bool = False  # whoever is given it can't open that page
    page_key: str = "pk"  # what of a subject stands in the address of that page

    def address(self, subject: Model) -> str:
        return reverse(self.page, args=[getattr(subject, self.page_key)])

    def whole_address(self, subject: Model, root: str) -> str:
        """Of that page, for a studio that is opened at `root`; none on a paper for a client."""
        return "" if self.for_client else urljoin(root, self.address(subject))

    def to_send(self, key: int) -> bytes:
        """Of the subject of that key as it stands now, as PDF that goes with a letter: without the
        address of a page, which its reader may not be able to open."""
        subject = self.subjects.get(pk=key)
        return render_pdf(
            self.template,
            self.contents(subject, "").context,
            title=self.title(subject),
            base_url="",
            printed_at=timezone.now(),
        )
