"""What holds for a project: its own agreement, its client's, or the house's."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Q

from sessions.clients.models import Client, Project
from sessions.terms.agreements.models import Agreement
from sessions.terms.models import CancellationTerms, RateCard

DUE_DAYS = 30  # common practice, no source


@dataclass(frozen=True)
class Agreed:
    """Rate card and terms may be None: nobody agreed any. `due_days` are those of invoices."""

    rate_card: RateCard | None
    cancellation_terms: CancellationTerms | None
    due_days: int


def agreed_for(project: Project | None) -> Agreed:
    """What a session of the project starts with; without a project, what the house has. One query."""
    return _narrowest(_agreements(project=project, client=project and project.client_id))


def agreed_with(client: Client | None) -> Agreed:
    """The same of a client, whatever the project; without a client, of the house. One query."""
    return _narrowest(_agreements(project=None, client=client))


def wider_than(agreement: Agreement) -> Agreed:
    """What holds where this one says nothing: the client's, the house's, or what nobody said."""
    if agreement.project:
        return agreed_with(agreement.project.client)
    return agreed_with(None) if agreement.client else _narrowest([])


def _agreements(*, project, client) -> list[Agreement]:
    """The narrowest first."""
    of_house = Q(client=None, project=None)
    asked = of_house | Q(client=client, project=None) | Q(project=project, client=None)
    found = Agreement.objects.filter(asked).select_related("rate_card", "cancellation_terms")
    return sorted(found, key=lambda each: (each.project_id is None, each.client_id is None))


def _narrowest(agreements: Iterable[Agreement]) -> Agreed:
    """A card or terms that were retired count for no new session: the next wider ones do."""
    found = {"rate_card": None, "cancellation_terms": None, "due_days": None}
    for agreement in agreements:
        for name, known in found.items():
            said = getattr(agreement, name)
            if known is None and not getattr(said, "retired", False):
                found[name] = said
    if found["due_days"] is None:
        found["due_days"] = DUE_DAYS
    return Agreed(**found)
