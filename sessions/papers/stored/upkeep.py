"""What the worker does for stored papers again and again."""

from datetime import datetime, timedelta

from django.db.models import QuerySet
from django.utils.module_loading import import_string

from sessions.papers.pdf import PaperSize
from sessions.papers.stored.kinds import PaperKind
from sessions.papers.stored.making import want
from sessions.papers.stored.models import StoredPaper

GATHERED = timedelta(seconds=10)


def follow_changes(since: datetime, now: datetime) -> None:
    """Have papers made anew once what they follow was changed and then left alone for as long as
    changes are gathered. To be called again with the next stretch of time."""
    for kind in _kinds_in_use():
        changed = changed_subjects(kind, since - GATHERED, now - GATHERED)
        if changed := changed and changed - changed_subjects(kind, now - GATHERED, now):
            papers = StoredPaper.objects.filter(kind=kind.path)
            last = papers.exclude(address="").last()
            if kind.ahead is not None and (kind.for_client or last):
                opened_at = last.address if last else ""
                add_ahead(kind, kind.ahead.filter(pk__in=changed), opened_at=opened_at)
            want(papers.filter(subject__in=changed))


def changed_subjects(kind: PaperKind, after: datetime, until: datetime) -> set[int]:
    """The keys of subjects."""
    found = set()
    for lookup, model in kind.follows.items():
        changed = model.history.filter(history_date__gt=after, history_date__lte=until).values("id")
        subjects = kind.subjects.filter(**{f"{lookup}__in": changed})
        found.update(subjects.values_list("pk", flat=True))
    return found


def add_ahead(kind: PaperKind, subjects: QuerySet, *, opened_at: str) -> None:
    """The usual paper of those that have none, for a studio that is opened at that address."""
    papers = StoredPaper.objects.filter(kind=kind.path)
    without = subjects.exclude(pk__in=papers.values("subject"))
    for subject in list(without):
        address = kind.whole_address(subject, opened_at)
        papers.get_or_create(kind=kind.path, subject=subject.pk, size=PaperSize.A4, address=address)


def remove_leftovers() -> None:
    """Papers about what is gone."""
    for kind in _kinds_in_use():
        there = kind.subjects.order_by().values("pk")
        StoredPaper.objects.filter(kind=kind.path).exclude(subject__in=there).delete()


def _kinds_in_use() -> list[PaperKind]:
    paths = StoredPaper.objects.order_by().values_list("kind", flat=True).distinct()
    return [import_string(path) for path in paths]
