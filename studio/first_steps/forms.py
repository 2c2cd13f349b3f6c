"""A short form for each step; all else stands on the page that the step leads to. What each `save`
returns is said on the next page."""

from decimal import Decimal

from django import forms
from django.http import HttpRequest

from gear.editing.versions import claim_version
from gear.panels.generic_gear import KINDS, add_generic
from sessions.editing.rules import PERCENT
from sessions.rooms.models import Room, Studio
from sessions.terms.models import CancellationTerms, Rate, RateCard
from studio.first_steps.actions import add_house_rates, add_house_terms, become_person
from studio.joining.forms import PersonOrName
from studio.sign_ins import invite_by

MOST_AT_ONCE = 50


class OwnNameForm(forms.Form):
    name = forms.CharField(label="Your name", max_length=120)
    bookable = forms.BooleanField(
        label="I can be booked",
        required=False,
        help_text="For a session, as engineers and assistants are.",
    )

    @classmethod
    def for_request(cls, request: HttpRequest, data, prefix: str):
        return cls(data, prefix=prefix, initial={"name": str(request.user)})

    def save(self, request: HttpRequest) -> str:
        person = become_person(request.user, **self.cleaned_data, by=request.user)
        return f"You are listed under People, as {person}."


class _Step:
    @classmethod
    def for_request(cls, request: HttpRequest, data, prefix: str):
        return cls(data, prefix=prefix)


class StudioFactsForm(forms.ModelForm):
    seen = forms.IntegerField(widget=forms.HiddenInput)  # the version

    class Meta:
        model = Studio
        fields = ["name", "phone", "email", "address"]
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}

    @classmethod
    def for_request(cls, request: HttpRequest, data, prefix: str):
        facts = Studio.to_edit() if data else Studio.current()
        return cls(data, prefix=prefix, instance=facts, initial={"seen": facts.version})

    def save(self, request: HttpRequest) -> str:
        claim_version(self.instance, self.cleaned_data["seen"])
        super().save()
        return f"{self.instance} saved."


class RoomNameForm(_Step, forms.ModelForm):
    class Meta:
        model = Room
        fields = ["name"]

    def save(self, request: HttpRequest) -> str:
        return f"{super().save()} saved."


class StaffForm(_Step, PersonOrName):
    """With an e-mail address they are invited to sign in, without they are only listed."""

    field_order = ["name", "role", "email", "bookable"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["name"].required = True
        self.fields[
            "email"
        ].help_text = (
            "A link goes there under which they choose a password. Empty: they don’t sign in."
        )

    def save(self, request: HttpRequest) -> str:
        if self.cleaned_data["email"]:
            invite_by(request, self)
            return ""
        return f"{self.save_person()} saved."


class GenericGearForm(_Step, forms.Form):
    kind = forms.ChoiceField(choices=[(name, name) for name in KINDS])
    count = forms.IntegerField(label="How many", min_value=1, max_value=MOST_AT_ONCE, initial=1)

    def save(self, request: HttpRequest) -> str:
        made = add_generic(**self.cleaned_data, by=request.user)
        tags = ", ".join(unit.asset_tag for unit in made)
        return f"{self.cleaned_data['kind']} saved: {tags}."


class RatesForm(_Step, forms.Form):
    name = forms.CharField(label="Name of the card", max_length=80, initial="House rates")
    amount = forms.DecimalField(
        label="A room by the hour",
        max_digits=Rate._meta.get_field("amount").max_digits,
        decimal_places=2,
        min_value=0,
    )

    def clean_name(self) -> str:
        name = self.cleaned_data["name"]
        if RateCard.objects.filter(name=name).exists():
            raise forms.ValidationError("There is a rate card of that name already.")
        return name

    def save(self, request: HttpRequest) -> str:
        card = add_house_rates(**self.cleaned_data, by=request.user)
        return f"{card} saved, with a price for each room."


class TermsForm(_Step, forms.Form):
    name = forms.CharField(label="Name of the terms", max_length=80, initial="House terms")
    hours = forms.DecimalField(
        label="Less notice than", min_value=Decimal("0.25"), max_value=9999, initial=48
    )
    percent = forms.DecimalField(
        label="Charge, of the fee", validators=PERCENT, decimal_places=2, initial=50
    )
    units = {"hours": "h", "percent": "%"}

    def clean_name(self) -> str:
        name = self.cleaned_data["name"]
        if CancellationTerms.objects.filter(name=name).exists():
            raise forms.ValidationError("There are terms of that name already.")
        return name

    def save(self, request: HttpRequest) -> str:
        return f"{add_house_terms(**self.cleaned_data, by=request.user)} saved."
