"""The papers that go with a song's files, as they are stored."""

import time
from collections.abc import Iterable, Iterator

from django.db.models import Model
from django.http import HttpRequest
from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.deliverables.mixes.stored import MIX_SHEET
from sessions.deliverables.models import Deliverable
from sessions.deliveries.models import Paper
from sessions.papers.pdf import PaperSize
from sessions.papers.stored.drafts import draft_of
from sessions.papers.stored.kinds import PaperKind
from sessions.papers.stored.making import make, want
from sessions.papers.stored.models import StoredPaper
from sessions.papers.stored.serving import was_made_for
from sessions.recall.sheet.stored import RECALL_SHEET
from sessions.reports.stored import CLIENTS_REPORT
from sessions.songs.models import Song
from sessions.takes.sheets.stored import COMP_SHEET, TAKE_SHEET_OF_SONG
from sessions.tasks.models import DEFAULT, Worker


def papers_of(
    song: Song, wanted: Iterable[str], *, of: Iterable[Deliverable]
) -> Iterator[tuple[PaperKind, int]]:
    """The wanted ones that have something to say, each by its kind and the key of what it is about."""
    wanted = set(wanted)
    if Paper.MIX_SHEET in wanted:
        for revision in sorted({each.mix_revision_id for each in of if each.mix_revision_id}):
            yield MIX_SHEET, revision
    if not song.takes.exists():
        return
    if Paper.RECALL_SHEET in wanted:
        yield RECALL_SHEET, song.pk
    if Paper.SESSION_REPORTS in wanted:
        for session in RecordingSession.objects.filter(takes__song=song).distinct():
            yield CLIENTS_REPORT, session.pk
    if Paper.TAKE_SHEET in wanted:
        yield TAKE_SHEET_OF_SONG, song.pk
    if Paper.COMP_SHEETS in wanted:
        for part in song.parts.filter(comp_choices__isnull=False).distinct():
            yield COMP_SHEET, part.pk


class Papers:
    """Those of a pack: `stored` with their titles, and whether some are `waiting` to be made."""

    def __init__(self, request: HttpRequest, of: Iterable[tuple[PaperKind, int]]):
        self.request, self.stored, self.waiting = request, [], False
        self.worker = Worker.objects.alive(DEFAULT)
        for kind, about in of:
            self._add(kind, kind.subjects.get(pk=about))

    def _add(self, kind: PaperKind, subject: Model) -> None:
        """As the page of a paper does: what is out of date is made by the worker, or here."""
        paper, _ = StoredPaper.objects.get_or_create(
            kind=kind.path,
            subject=subject.pk,
            size=PaperSize.A4,
            address="",  # whoever opens the pack can't open our pages
        )
        if not was_made_for(self.request, paper):
            at = timezone.now()
            draft = draft_of(paper, subject)
            if draft.key != paper.key and (self.worker or draft.contents.is_long):
                want(StoredPaper.objects.filter(pk=paper.pk), somebody_waits=True)
                self.waiting = True
                return
            if draft.key != paper.key:
                make(paper, draft, at=at)
        if not paper.error:
            self.stored.append((kind.title(subject), paper))

    def again(self) -> str:
        """What the waiting page asks for next."""
        asked = self.request.GET.copy()
        asked.setdefault("asked", f"{time.time():.3f}")
        return asked.urlencode()
