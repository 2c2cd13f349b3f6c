from django.db.models import Q

from gear.editing.units import UnitsForm
from sessions.terms.agreements.agreed import wider_than
from sessions.terms.agreements.models import Agreement


class AgreementForm(UnitsForm):
    """What is left empty is as the next wider agreement has it, which the form says."""

    class Meta:
        model = Agreement
        fields = ["rate_card", "cancellation_terms", "due_days"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        project, client = self.instance.project, self.instance.client
        wider = wider_than(self.instance)
        for name in ("rate_card", "cancellation_terms"):
            field, chosen = self.fields[name], getattr(self.instance, f"{name}_id")
            field.queryset = field.queryset.filter(Q(retired=False) | Q(pk=chosen))
            said = getattr(wider, name) or "none"
            field.empty_label = f"{self._as_wider}: {said}" if project or client else "None"
        self.fields["due_days"].help_text += (
            f" Empty: {self._as_wider.lower()}, {wider.due_days}."
            if project or client
            else f" Empty: {wider.due_days}."
        )

    @property
    def _as_wider(self) -> str:
        return "As the client" if self.instance.project_id else "As the house"
