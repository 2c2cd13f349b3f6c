"""Papers made once: kept under the hash of all that they print, and served at once afterwards.

Whether a kept paper is still the right one is asked in two steps. The stamp says that nothing in the
house was changed since the same person was given it, by one query. If something was, they are looked
at again and the paper is put together again, without being printed: mostly it has the same hash, and
the kept one goes on.
"""

from dataclasses import dataclass
from functools import cached_property

from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser
from django.core.files.base import ContentFile
from django.db.models import Model
from django.template.loader import render_to_string
from django.utils import timezone

from sessions.papers.pdf import PaperSize, render_pdf
from sessions.papers.stored.kinds import Contents, PaperKind, Wanted
from sessions.papers.stored.models import KeptPaper, KnownPaper, PaperState
from sessions.papers.stored.stamps import code, digest

KNOWN = (
    f"SELECT paper.* FROM {KeptPaper._meta.db_table} paper "  # noqa: S608 (names of our own)
    f"JOIN {KnownPaper._meta.db_table} known ON known.paper_id = paper.id "
    "WHERE known.stamp = %s ORDER BY paper.id DESC"
)
MADE_AT_ONCE = 300_000  # characters; more take longer than somebody should wait for a page


@dataclass(frozen=True)
class Draft:
    """A paper put together, but not printed."""

    wanted: Wanted
    title: str
    contents: Contents
    markup: str

    @property
    def is_long(self) -> bool:
        return len(self.markup) > MADE_AT_ONCE

    @cached_property
    def key(self) -> str:
        """The hash of all that is printed and enclosed, apart from the time of print."""
        said = f"{self.wanted.said()} {self.title}"
        enclosure = self.contents.enclosure
        enclosed = enclosure.content if enclosure else b""
        return digest(said.encode(), self.markup.encode(), enclosed, code())


def draft_of(wanted: Wanted, subject: Model) -> Draft:
    kind = wanted.kind
    contents = kind.contents(subject, wanted.address)
    markup = render_to_string(kind.template, {**contents.context, "house": settings.STUDIO_NAME})
    return Draft(wanted, kind.title(subject), contents, markup)


def known_paper(stamp: str) -> KeptPaper | None:
    """What the stamp's person was given when the house stood as it does now.

    Written as SQL: to put the query together takes Django five times as long as the answer takes.
    """
    return next(iter(KeptPaper.objects.raw(KNOWN, [stamp])), None)


def paper_of(draft: Draft, *, user: AbstractBaseUser, stamp: str) -> KeptPaper:
    """The draft's paper by its hash: kept, or still to be made. From now on the user knows it."""
    wanted = draft.wanted
    paper, _ = KeptPaper.objects.get_or_create(
        key=draft.key,
        defaults={
            "kind": wanted.kind.name,
            "subject": wanted.subject,
            "title": draft.title,
            "size": wanted.size,
            "address": wanted.address,
        },
    )
    KnownPaper.objects.update_or_create(user=user, paper=paper, defaults={"stamp": stamp})
    return paper


def print_paper(paper: KeptPaper, draft: Draft) -> None:
    """Print it and keep it; papers of the same that say something else by now go."""
    made_at = timezone.now()
    pdf = render_pdf(
        draft.wanted.kind.template,
        draft.contents.context,
        title=draft.title,
        base_url=paper.address,
        printed_at=made_at,
        size=draft.wanted.size,
        enclosure=draft.contents.enclosure,
    )
    paper.state, paper.made_at, paper.error = PaperState.KEPT, made_at, ""
    paper.file.save(f"{paper.key}.pdf", ContentFile(pdf), save=False)
    paper.save(update_fields=["state", "made_at", "error", "file"])
    _forget_others(paper)


def print_waiting(paper: KeptPaper, kind: PaperKind) -> None:
    """The same of one that had to wait. If it would say something else by now, it isn't made: it
    will be asked for by another hash."""
    wanted = Wanted(kind, paper.subject, PaperSize(paper.size), paper.address)
    draft = draft_of(wanted, kind.subjects.get(pk=paper.subject))
    if draft.key == paper.key:
        print_paper(paper, draft)
    else:
        paper.delete()


def _forget_others(paper: KeptPaper) -> None:
    same = {name: getattr(paper, name) for name in ("kind", "subject", "size", "address")}
    for other in KeptPaper.objects.filter(**same, pk__lt=paper.pk):
        if other.file:
            other.file.delete(save=False)
        other.delete()
