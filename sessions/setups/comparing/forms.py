from itertools import groupby

from django import forms
from django.utils import timezone
from django.utils.formats import date_format

from sessions.setups.models import Chain, Revision


class RevisionsForm(forms.Form):
    """Which two revisions to compare: those of the chain first, then all others of its project."""

    before = forms.ModelChoiceField(Revision.objects.none(), label="Revision")
    after = forms.ModelChoiceField(Revision.objects.none(), label="Against")

    def __init__(self, *args, chain: Chain, user, **kwargs):
        super().__init__(*args, **kwargs)
        revisions = (
            Revision.objects.visible_to(user)
            .filter(chain__setup__session__project=chain.setup.session.project_id)
            .select_related("chain__setup__session", "chain__source")
            .order_by("-chain__setup__session__starts_at", "chain__setup_id", "chain_id", "-number")
        )
        self.revisions = list(revisions)
        choices = _grouped(self.revisions, chain)
        for name in ("before", "after"):
            self.fields[name].queryset = revisions
            self.fields[name].choices = choices

    @staticmethod
    def start(chain: Chain) -> dict:
        """The newest revision against the one before it; alone, against itself. Costs a query."""
        newest = list(chain.revisions.order_by("-number").values_list("pk", flat=True)[:2])
        return {"before": newest[-1], "after": newest[0]}


def _grouped(revisions: list[Revision], chain: Chain) -> list:
    own = [revision for revision in revisions if revision.chain_id == chain.pk]
    others = [revision for revision in revisions if revision.chain_id != chain.pk]
    groups = [("This chain", [(revision.pk, _number(revision)) for revision in own])]
    for setup, found in groupby(others, key=lambda revision: revision.chain.setup):
        day = date_format(timezone.localtime(setup.session.starts_at))
        groups.append((f"{day}, {setup}", [(revision.pk, str(revision)) for revision in found]))
    return groups


def _number(revision: Revision) -> str:
    return f"Revision {revision.number}{', locked' if revision.is_fixed else ''}"
