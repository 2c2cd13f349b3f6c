from itertools import groupby

from django import forms
from django.core.exceptions import ValidationError

from sessions.bookings.models import RecordingSession
from sessions.clients.models import Person
from sessions.setups.chains.asking import asks_before_adding
from sessions.setups.chains.fields import SetupField
from sessions.setups.chains.forms import ChainForm
from sessions.setups.chains.sure import SureForm
from sessions.setups.headphones.forms import people_about
from sessions.setups.headphones.models import HeadphoneMix
from sessions.setups.models import Chain, Revision, Setup, Stage


class SetupCopyForm(forms.Form):
    """Which setup to start from: those of the same project first, then all others, newest first."""

    setup = SetupField(
        Setup.objects.none(),
        label="Start from",
        help_text="Its chains, settings, placements and headphone mixes are copied.",
        widget=forms.Select(attrs={"autofocus": True}),
    )
    name = forms.CharField(
        max_length=80, required=False, help_text="Empty: the name of the copied setup."
    )

    def __init__(self, *args, session: RecordingSession, user, **kwargs):
        super().__init__(*args, **kwargs)
        self.session = session
        setups = Setup.objects.visible_to(user).filter(chains__isnull=False).distinct()
        field = self.fields["setup"]
        field.queryset = setups.select_related("session__project").order_by(
            "-session__starts_at", "session", "position", "pk"
        )
        field.choices = self._grouped(field)

    def _grouped(self, field: SetupField) -> list:
        own = self.session.project
        in_order = sorted(
            field.queryset,
            key=lambda setup: (setup.session.project_id != own.pk, setup.session.project.name),
        )
        groups = groupby(in_order, key=lambda setup: setup.session.project)
        return [("", "Choose a setup")] + [
            (
                f"{project}, this project" if project == own else f"{project}",
                [(setup.pk, field.label_from_instance(setup)) for setup in setups],
            )
            for project, setups in groups
        ]

    def clean(self):
        facts = super().clean()
        if facts.get("setup"):
            facts["name"] = facts.get("name") or facts["setup"].name
            if self.session.setups.filter(name=facts["name"]).exists():
                self.add_error(
                    "name",
                    f"This session has a setup called “{facts['name']}” already: write another name.",
                )
        return facts


class ChainCopyForm(ChainForm):
    """The same for a copy, and where it is to stand."""

    setup = SetupField(Setup.objects.none(), label="In the setup")

    field_order = ["setup", "source", "parts", "track", "destination_input"]

    def __init__(self, *args, project, **kwargs):
        super().__init__(*args, project=project, **kwargs)
        for name in {"group", "seat"} & self.fields.keys():
            del self.fields[name]  # where the copy stands there may be no such group
        setups = Setup.objects.filter(session__project=project).select_related("session")
        self.fields["setup"].queryset = setups.order_by("-session__starts_at", "position")


class MixCopyForm(forms.Form):
    """For whom a headphone mix is copied, and into which setup of the project."""

    setup = SetupField(Setup.objects.none(), label="Into the setup", empty_label=None)
    name = forms.CharField(max_length=60, widget=forms.TextInput(attrs={"autofocus": True}))
    listeners = forms.ModelMultipleChoiceField(
        Person.objects.none(), required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args, mix: HeadphoneMix, **kwargs):
        super().__init__(*args, initial={"setup": mix.setup_id}, **kwargs)
        setups = Setup.objects.filter(session__project=mix.setup.session.project_id)
        self.fields["setup"].queryset = setups.select_related("session__project").order_by(
            "-session__starts_at", "session", "position", "pk"
        )
        self.fields["listeners"].queryset = people_about(mix)

    def clean(self):
        facts = super().clean()
        setup, name = facts.get("setup"), facts.get("name")
        if setup and name and setup.headphone_mixes.filter(name=name).exists():
            self.add_error(
                "name", f"{setup} has a mix called “{name}” already: write another name."
            )
        return facts


class ChainChoice(forms.ModelChoiceField):
    def label_from_instance(self, chain: Chain) -> str:
        return f"{chain.setup}: {chain}"


class StageCopyForm(SureForm):
    """Into which other chain of the session a stage is copied."""

    chain = ChainChoice(
        Chain.objects.none(),
        label="Into the chain",
        empty_label="Choose a chain",
        help_text="It comes last there, with the settings that it has here.",
        widget=forms.Select(attrs={"autofocus": True}),
    )

    def __init__(self, *args, stage: Stage, in_session: list[Revision], **kwargs):
        super().__init__(*args, **kwargs)
        self.stage, self.in_session = stage, in_session
        chain = stage.revision.chain
        others = Chain.objects.filter(setup__session=chain.setup.session_id).exclude(pk=chain.pk)
        self.fields["chain"].queryset = others.select_related("setup").order_by(
            "setup__position", "setup", "position", "pk"
        )

    def clean(self):
        if not self.fields["chain"].queryset:
            raise ValidationError("The session has no other chain yet: add one first.")
        facts = super().clean()
        if to := facts.get("chain"):
            self.ask(asks_before_adding(to, self.stage.unit, self.in_session))
        return facts
