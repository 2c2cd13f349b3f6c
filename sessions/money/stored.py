"""A quote, a work order or the charge of a cancellation, as it was issued and signed, as a stored paper; of a work order the house
has a copy of its own."""

from django.db.models import QuerySet
from django.utils.formats import date_format

from sessions.bookings.models import RecordingSession
from sessions.money import models
from sessions.money.cancellations.standing import why_void
from sessions.money.drafting import OVERTAKEN, was_overtaken
from sessions.money.session_costs import SessionCosts
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.rooms.models import Studio
from sessions.signing.models import Signature
from sessions.terms.price_words import is_free, without_charge


def _kind(name: str, papers: QuerySet, *, page: str, for_the_house: bool = False) -> PaperKind:
    def contents(paper: models.MoneyPaper, address: str) -> Contents:
        signed = models.OrderSignature.objects.filter(paper=paper)
        context = {
            "paper": paper,
            "work_order": paper.kind == models.PaperKind.WORK_ORDER,
            "is_charge": paper.kind == models.PaperKind.CANCELLATION,
            "lines": [line for line in paper.lines if not is_free(line)],
            "free": without_charge(line for line in paper.lines if is_free(line)),
            "signed": signed.select_related("signature__taken_by").first(),
            "overtime": _overtime(paper),
            "why_void": _why_void(paper),
            "for_the_house": for_the_house,
        }
        if issued := paper.as_issued.get("studio"):
            context["studio"] = Studio(**issued, logo=Studio.current().logo)
        return Contents(context)

    return PaperKind(
        path=f"{__name__}.{name}",
        title=lambda paper: f"{paper}, house copy" if for_the_house else str(paper),
        page=page,
        page_key="session_id",
        template="sessions/money/paper.html",
        subjects=papers.select_related("issued_by", "session"),
        contents=contents,
        for_client=not for_the_house,
    )


def _why_void(paper: models.MoneyPaper) -> str:
    """What a work order, or the charge of a cancellation, says of itself once it is no longer what is
    charged."""
    if paper.kind == models.PaperKind.CANCELLATION:
        return why_void(paper, paper.replaced_by)
    if paper.kind != models.PaperKind.WORK_ORDER:
        return ""
    if newer := paper.replaced_by:
        return f"{newer} was issued in its place on {date_format(newer.issued_at)}."
    loaded = RecordingSession.objects.for_list().select_related("rate_card", "cancellation_terms")
    if was_overtaken(paper, SessionCosts(loaded.get(pk=paper.session_id))):
        return f"{OVERTAKEN} it was issued."
    return ""


def _overtime(paper: models.MoneyPaper) -> list[tuple[str, Signature | None]]:
    """The words of each approval on it, and its signature. One query where there are any."""
    lines = paper.as_issued.get("overtime", [])
    signatures = Signature.objects.in_bulk(
        [line["signature"] for line in lines if line["signature"]]
    )
    return [(line["words"], signatures.get(line["signature"])) for line in lines]


ALL = models.MoneyPaper.objects.all()
ORDERS = ALL.filter(kind=models.PaperKind.WORK_ORDER)
MONEY_PAPER = _kind("MONEY_PAPER", ALL, page="money:session")
WORK_ORDER = _kind("WORK_ORDER", ORDERS, page="sign_off:session")
HOUSE_COPY = _kind("HOUSE_COPY", ORDERS, page="sign_off:session", for_the_house=True)
