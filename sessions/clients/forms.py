from dataclasses import dataclass

from django import forms
from django.contrib.auth import get_user_model
from django.db.models import Q

from gear.editing.names import named_once
from gear.editing.units import UnitsForm
from sessions.clients.models import Client, Person, Project
from sessions.clients.order_fields import OrderFields, as_typed
from sessions.editing.retiring import RetirableForm


class ClientForm(RetirableForm):
    class Meta:
        model = Client
        fields = ["name", "email", "phone", "address", "note", "retired"]
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}


class PersonForm(RetirableForm):
    class Meta:
        model = Person
        fields = [
            "name",
            "credited_as",
            "does",
            "email",
            "phone",
            "client",
            "bookable",
            "user",
            "retired",
        ]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["client"].queryset = Client.objects.current_or(self.instance.client_id)
        self.fields["user"].queryset = get_user_model().objects.filter(
            Q(person=None, is_active=True) | Q(pk=self.instance.user_id)
        )
        self.fields["user"].empty_label = "Does not sign in"


@dataclass(frozen=True)
class Fold:
    """Some fields of a form under a heading, with what they say in a line."""

    title: str
    said: str
    fields: list[forms.BoundField]

    @property
    def is_open(self) -> bool:
        return any(field.errors for field in self.fields)


class ProjectForm(UnitsForm, RetirableForm, OrderFields):
    """A project of the instance's client, which must be set before."""

    class Meta:
        model = Project
        fields = [
            "name",
            "artist",
            "sample_rate",
            "bit_depth",
            "full_scale_dbu",
            "file_naming",
            "mix_engineers",
            "note",
            "retired",
        ]
        widgets = {"mix_engineers": forms.CheckboxSelectMultiple}

    FORMAT = ("sample_rate", "bit_depth", "full_scale_dbu", "file_naming")
    field_order = [*Meta.fields[:6], *OrderFields.base_fields]  # then who mixes, and the note

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial = as_typed(self.instance) | self.initial
        is_new = self.instance._state.adding
        chosen = [] if is_new else self.instance.mix_engineers.values("pk")
        self.fields["mix_engineers"].queryset = Person.objects.filter(
            Q(retired=False, user__isnull=False) | Q(pk__in=chosen)
        )

    def asked_at_once(self) -> list[forms.BoundField]:
        folded = {*self.FORMAT, *OrderFields.base_fields}
        return [field for field in self if field.name not in folded]

    def folds(self) -> list[Fold]:
        """What is set from the start, and folded away until it is asked for."""
        project, ordered = self.instance, [kind.label for kind in self.instance.ordered]
        said = [
            *(project.get_sample_rate_display(), project.get_bit_depth_display()),
            f"full scale at +{project.full_scale_dbu:.1f} dBu",
            project.file_naming or "no naming agreed",
        ]
        return [
            Fold("Format and naming", ", ".join(said), [self[name] for name in self.FORMAT]),
            Fold(
                "What is delivered",
                ", ".join(ordered) or "Nothing ordered yet",
                [self[name] for name in OrderFields.base_fields],
            ),
        ]

    def clean_name(self):
        client = self.instance.client
        return named_once(self, "name", among=client.projects, of=client)

    def save(self, commit=True):
        self.instance.delivery_rules = self.rules()
        return super().save(commit)
