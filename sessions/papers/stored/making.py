"""Stored papers are made off the request; run twice, a paper is made once."""

from datetime import datetime

from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone
from django_tasks import task

from sessions.papers.pdf import PaperSize, render_pdf
from sessions.papers.stored.drafts import Draft, draft_of
from sessions.papers.stored.models import StoredPaper, StoredPaperQuerySet
from sessions.unavailable import unavailable

SOMEBODY_WAITS = 10  # before papers that nobody has asked for yet


def want(papers: StoredPaperQuerySet, *, somebody_waits: bool = False) -> None:
    """Queue the papers to be made, each once."""
    priority = SOMEBODY_WAITS if somebody_waits else 0
    for key in papers.unwanted().values_list("pk", flat=True):
        with transaction.atomic():
            if papers.unwanted().filter(pk=key).update(wanted_at=timezone.now()):
                bring_up_to_date.using(priority=priority).enqueue(key)


@task
def bring_up_to_date(key: int) -> None:
    """Make the paper anew, if it would say something else by now."""
    papers = StoredPaper.objects.filter(pk=key)
    papers.update(wanted_at=None)  # what changes from here on may ask for it again
    paper = papers.first()
    subject = paper and paper.paper_kind.subjects.filter(pk=paper.subject).first()
    if not subject:
        return  # it went meanwhile
    at = timezone.now()
    draft = draft_of(paper, subject)
    if draft.key != paper.key:
        try:
            make(paper, draft, at=at)
        except Exception as error:
            if unavailable(error):
                raise  # whoever looks for it once the disk or the database is back has it made
            papers.update(key=draft.key, error=str(error) or type(error).__name__)
            raise


def make(paper: StoredPaper, draft: Draft, *, at: datetime) -> None:
    """Print the draft, which was put together `at` the time that the paper will name. Of two who make one
    at once the later draft stays on record, whoever comes to the end first."""
    pdf = render_pdf(
        paper.paper_kind.template,
        draft.contents.context,
        title=draft.title,
        base_url=paper.address,
        printed_at=at,
        size=PaperSize(paper.size),
        enclosure=draft.contents.enclosure,
    )
    paper.key, paper.made_at, paper.error = draft.key, at, ""
    paper.file.save(f"{draft.key}.pdf", ContentFile(pdf), save=False)
    # What another worker put together later stands; this file is without a row then, and is swept up.
    StoredPaper.objects.filter(pk=paper.pk).exclude(made_at__gt=at).update(
        key=paper.key, made_at=at, error="", file=paper.file.name
    )
