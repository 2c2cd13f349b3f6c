"""What the house, a client or a project has agreed."""

from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models.functions import Coalesce

from gear.editing.versions import Versioned
from sessions.clients.models import Client, Project
from sessions.terms.models import CancellationTerms, RateCard


class Agreement(Versioned):
    """Rates and terms of a client, of a project, or of the house (of neither): one row for each.

    What is left empty is as the next wider one has it: the project's, the client's, the house's. It
    is what sessions start with; those that are booked keep what they have.
    """

    client = models.OneToOneField(
        Client, models.PROTECT, null=True, blank=True, related_name="agreement", editable=False
    )
    project = models.OneToOneField(
        Project, models.PROTECT, null=True, blank=True, related_name="agreement", editable=False
    )
    rate_card = models.ForeignKey(
        RateCard, models.PROTECT, null=True, blank=True, related_name="agreements"
    )
    cancellation_terms = models.ForeignKey(
        CancellationTerms, models.PROTECT, null=True, blank=True, related_name="agreements"
    )
    due_days = models.PositiveSmallIntegerField(
        "invoices are due after, days",
        null=True,
        blank=True,
        validators=[MaxValueValidator(365)],
        help_text="From the day of the invoice. 0: on the same day.",
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(client__isnull=True) | models.Q(project__isnull=True),
                name="agreement_of_one_thing",
            ),
            models.UniqueConstraint(
                Coalesce("client", 0), Coalesce("project", 0), name="agreement_once"
            ),
        ]

    def __str__(self) -> str:
        return f"Rates and terms of {self.project or self.client or 'the house'}"
