"""Which of two values is kept, asked only where they differ."""

from django import forms
from django.db.models import Model

from gear.lists.columns import columns_of
from sessions.clients.forms import ClientForm, PersonForm
from sessions.clients.models import Client, Person

FACTS = {Client: ClientForm.Meta.fields, Person: PersonForm.Meta.fields}
SETTLED = ("retired", "user")  # in use, and signing in, if one of them is
KEPT, OTHER = "kept", "other"


class OtherForm(forms.Form):
    """Whom to merge with."""

    with_ = forms.ModelChoiceField(None, label="Merge with", empty_label="Choose …")

    def __init__(self, *args, thing: Model, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["with"] = self.fields.pop("with_")
        self.fields["with"].queryset = type(thing).objects.exclude(pk=thing.pk)


class MergeForm(forms.Form):
    """A choice for each fact in which the other differs; what only one of them has is kept."""

    seen = forms.IntegerField(widget=forms.HiddenInput)
    other_seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data=None, *, kept: Model, other: Model):
        super().__init__(data, initial={"seen": kept.version, "other_seen": other.version})
        self.kept, self.other = kept, other
        self.taken = {}
        headings = dict.fromkeys((name for name in FACTS[type(kept)] if name not in SETTLED), "")
        for column in columns_of(type(kept), headings):
            name, mine, theirs = column.field.name, column.shown(kept), column.shown(other)
            if mine == theirs:
                continue
            if not mine or not theirs:
                self.taken[name] = getattr(kept if mine else other, name)
                continue
            self.fields[name] = forms.ChoiceField(
                label=column.heading.capitalize(),
                choices=[(KEPT, mine), (OTHER, theirs)],
                initial=KEPT,
                widget=forms.RadioSelect,
            )

    def facts(self) -> dict:
        chosen = {
            name: getattr(self.kept if value == KEPT else self.other, name)
            for name, value in self.cleaned_data.items()
            if name not in ("seen", "other_seen")
        }
        settled = {"retired": self.kept.retired and self.other.retired}
        if hasattr(self.kept, "user"):
            settled["user"] = self.kept.user or self.other.user
        return self.taken | chosen | settled
