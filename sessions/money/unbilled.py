"""What is still to be billed, session by session."""

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet, Subquery

from sessions.bookings.models import Status, StatusStep
from sessions.money.invoices.billing import papers_to_bill
from sessions.money.models import MoneyPaper, PaperKind


def without_paper(sessions: QuerySet) -> QuerySet:
    """Of these sessions, the wrapped ones without a work order, and those that were cancelled when they
    were confirmed, by terms that did not give the charge: it is to be agreed with the client."""
    steps = StatusStep.objects.filter(session=OuterRef("pk")).exclude(status=Status.CANCELLED)
    was = Subquery(steps.order_by("-at", "-pk").values("status")[:1])
    orders = MoneyPaper.objects.filter(session=OuterRef("pk"), kind=PaperKind.WORK_ORDER)
    charges = MoneyPaper.objects.filter(session=OuterRef("pk"), kind=PaperKind.CANCELLATION)
    cancelled = Q(status=Status.CANCELLED, cancellation_terms__isnull=False, was=Status.CONFIRMED)
    return sessions.alias(was=was).filter(
        (Q(status=Status.WRAPPED) & ~Exists(orders))
        | (cancelled & ~Exists(charges.not_taken_back()))
    )


def unbilled(sessions: QuerySet) -> QuerySet:
    """Of these sessions, those that are not billed: without such a paper, or with one that no invoice
    bills, net of credit notes."""
    papers = papers_to_bill().filter(session=OuterRef("pk"))
    return sessions.filter(Exists(papers) | Q(pk__in=without_paper(sessions).values("pk")))


def with_what_is_to_bill(sessions: QuerySet) -> QuerySet:
    """`to_bill` of each are its papers that no invoice bills. A query."""
    return sessions.prefetch_related(Prefetch("money_papers", papers_to_bill(), to_attr="to_bill"))
