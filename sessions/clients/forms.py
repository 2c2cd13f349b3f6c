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

    field_order = [*Meta.fields[:6], *OrderFields.base_fields]  # then who mixes, and the note

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial = as_typed(self.instance) | self.initial
        is_new = self.instance._state.adding
        chosen = [] if is_new else self.instance.mix_engineers.values("pk")
        self.fields["mix_engineers"].queryset = Person.objects.filter(
            Q(retired=False, user__isnull=False) | Q(pk__in=chosen)
        )

    def clean_name(self):
        client = self.instance.client
        return named_once(self, "name", among=client.projects, of=client)

    def save(self, commit=True):
        self.instance.delivery_rules = self.rules()
        return super().save(commit)
