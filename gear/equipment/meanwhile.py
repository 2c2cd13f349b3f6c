"""Two people editing one thing: the second sees what the first one saved before saving over it."""

from django import forms
from django.utils.timezone import localtime


class MeanwhileForm(forms.ModelForm):
    """A form on a model with history. It refuses once, saying what another editor saved meanwhile.

    What was typed stays in the form beside it; saving again keeps that. Validate and save in one
    transaction that holds the row, so that nobody comes in between.
    """

    seen = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.pk and not self.is_bound:
            latest = self._latest()
            self.initial["seen"] = latest and latest.pk

    def clean(self):
        facts = super().clean()
        seen = facts.pop("seen", None)
        latest = self._latest() if seen else None
        if latest and latest.pk != seen:
            self._compare(latest, self.instance.history.filter(pk=seen).first())
        return facts

    def _latest(self):
        return self.instance.history.select_related("history_user").first()

    def _compare(self, latest, before) -> None:
        changes = latest.diff_against(before).changes if before else []
        theirs = [self._said(latest, change.field) for change in changes]
        if not theirs:
            return
        who = latest.history_user or "Somebody"
        self.data = self.data.copy()
        self.data[self.add_prefix("seen")] = latest.pk
        self.add_error(
            None,
            f"{who} saved this at {localtime(latest.history_date):%H:%M}, while you were editing: "
            f"{'; '.join(theirs)}. What you typed is still here: save again to keep yours.",
        )

    def _said(self, record, name: str) -> str:
        field = self._meta.model._meta.get_field(name)
        display = getattr(record, f"get_{name}_display", None)
        value = display() if display else getattr(record, name)
        return f"{field.verbose_name} is {'empty' if value in (None, '') else value}"
