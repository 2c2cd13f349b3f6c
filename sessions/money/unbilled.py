"""What is still to be billed or credited, session by session."""

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet, Subquery
from django.db.models.functions import JSONObject
from django.utils import timezone

from sessions.bookings.models import RecordingSession, Status, StatusStep
from sessions.money.invoices.billing import lines_to_credit, papers_to_bill
from sessions.money.invoices.models import InvoiceLine
from sessions.money.models import MoneyPaper, PaperKind
from sessions.periods import midnight


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


def deposits_to_settle() -> QuerySet[InvoiceLine]:
    """Of sessions that are over, and with nothing more to bill: what was asked ahead and no invoice took
    off. It is credited, or taken off an invoice of another session."""
    over = Q(money_paper__session__status__in=(Status.CANCELLED, Status.WRAPPED))
    to_bill = papers_to_bill().filter(session=OuterRef("money_paper__session"))
    found = InvoiceLine.objects.deposits().filter(over & ~Exists(to_bill))
    waiting = without_paper(RecordingSession.objects.all())
    return found.exclude(money_paper__session__in=waiting.values("pk")).with_something_left()


def unbilled(sessions: QuerySet) -> QuerySet:
    """Of these sessions, those of which an invoice or a credit note is still to be issued: without such
    a paper, or with one that no invoice bills, net of credit notes; or billed by, or with a deposit of,
    what is no longer charged; or over since yesterday, and neither wrapped nor cancelled."""
    papers = papers_to_bill().filter(session=OuterRef("pk"))
    is_over = Q(ends_at__lt=midnight(timezone.localdate()))
    not_settled = is_over & Q(status__in=(Status.CONFIRMED, Status.UNDER_WAY))
    return sessions.filter(
        not_settled
        | Exists(papers)
        | Q(pk__in=without_paper(sessions).values("pk"))
        | Q(pk__in=lines_to_credit().values("money_paper__session"))
        | Q(pk__in=deposits_to_settle().values("money_paper__session"))
    )


def with_what_is_to_bill(sessions: QuerySet) -> QuerySet:
    """`to_bill` of each are its papers that no invoice bills; `over_billed` the first invoice to be credited
    since that is no longer charged, `with_deposit` a deposit invoice, as pk and number. A query more."""
    return sessions.annotate(
        over_billed=_first_invoice(lines_to_credit()),
        with_deposit=_first_invoice(deposits_to_settle()),
    ).prefetch_related(Prefetch("money_papers", papers_to_bill(), to_attr="to_bill"))


def _first_invoice(lines: QuerySet) -> Subquery:
    named = JSONObject(pk="invoice", number="invoice__number")
    mine = lines.filter(money_paper__session=OuterRef("pk")).order_by("pk")
    return Subquery(mine.values(named=named)[:1])
