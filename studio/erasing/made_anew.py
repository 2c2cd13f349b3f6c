"""What is made of other rows: taken away, and made anew of what those say now."""

from functools import reduce
from operator import or_

from django.db.models import Q, QuerySet
from django.db.transaction import on_commit

from sessions.bookings.musicians.release import RELEASE
from sessions.deliverables.media.stored import RECEIPT
from sessions.papers.stored.models import StoredPaper
from sessions.recall.finding.models import SearchText
from sessions.recall.finding.words import fold
from studio.erasing.letter_files import ISSUED
from studio.erasing.words import Words


def papers() -> QuerySet[StoredPaper]:
    """All but those of what was issued or signed: which of them name somebody is in no row."""
    signed = Q(kind__in=[RECEIPT.path, RELEASE.path])
    return StoredPaper.objects.exclude(signed | Q(kind__startswith=ISSUED))


def take_away_papers() -> None:
    for paper in papers().only("file"):
        if paper.file:
            on_commit(lambda file=paper.file: file.delete(save=False))
    papers().delete()


def take_away_search_texts(words: Words) -> None:
    """The worker makes anew what is lacking, see `finding/upkeep.py`."""
    parts = [fold(word.longest_part) for word in words.theirs]
    fields = ("own", "work", "around")
    holds = (Q(**{f"{field}__contains": part}) for field in fields for part in parts)
    SearchText.objects.filter(reduce(or_, holds, Q(pk__in=[]))).delete()
