from django import forms
from django.utils.formats import date_format

from gear.acting import set_facts
from sessions.clients.models import Client, Person, Project
from sessions.deliverables.media.models import (
    Handover,
    IncomingMaterial,
    MediaCopy,
    Medium,
    WorkstationFile,
)
from sessions.deliverables.models import Deliverable
from sessions.editing.retiring import RetirableForm

NOTE = {"note": forms.Textarea(attrs={"rows": 2})}
DATE = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class MediumForm(RetirableForm):
    class Meta:
        model = Medium
        fields = ["name", "kind", "serial_number", "folder", "place", "is_off_site"]
        fields += ["client", "person", "note", "retired"]
        widgets = NOTE

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["client"].queryset = Client.objects.current_or(self.instance.client_id)
        self.fields["person"].queryset = Person.objects.current_or(self.instance.person_id)
        self.fields["client"].empty_label = self.fields["person"].empty_label = "None"


class OfProjectForm(forms.ModelForm):
    """Of something that belongs to a project; it offers only what is the project's."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        project: Project = self.instance.project
        offered = {
            "song": lambda: project.songs.all(),
            "session": lambda: project.recording_sessions.order_by("-starts_at"),
            "deliverable": lambda: Deliverable.objects.filter(song__project=project).select_related(
                "song"
            ),
            "medium": lambda: Medium.objects.current_or(self.instance.medium_id),
        }
        for name in offered.keys() & self.fields.keys():
            self.fields[name].queryset = offered[name]()


class WorkstationFileForm(OfProjectForm):
    class Meta:
        model = WorkstationFile
        fields = ["name", "song", "program", "plug_ins", "note"]
        widgets = NOTE | {"plug_ins": forms.Textarea(attrs={"rows": 3})}


class DeliverableField(forms.ModelChoiceField):
    def label_from_instance(self, deliverable: Deliverable) -> str:
        return f"{deliverable.song}: {deliverable}"


class CopyForm(OfProjectForm):
    deliverable = DeliverableField(
        Deliverable.objects.none(), required=False, help_text="None: more than one of them."
    )

    class Meta:
        model = MediaCopy
        fields = ["medium", "holds", "session", "deliverable", "folder", "kept_until", "note"]
        widgets = NOTE | {"kept_until": DATE}

    def clean_kept_until(self):
        until, before = self.cleaned_data["kept_until"], self.initial.get("kept_until")
        if self.instance.told_at and before and (until is None or until < before):
            raise forms.ValidationError(
                f"The client was told that it is kept until {date_format(before)}."
            )
        return until

    def clean(self):
        if self.instance.removed_at:
            raise forms.ValidationError("This copy was removed: what was logged of it stays.")
        return super().clean()

    def save(self, commit=True):
        """What was verified, and told of, was another copy if anything but its note or date changes."""
        if set(self.changed_data) - {"kept_until", "note"}:
            set_facts(self.instance, verified_at=None, verified_how="", verified_by=None)
            set_facts(self.instance, told_at=None, told_how="", told_by=None)
        return super().save(commit)


class IncomingForm(OfProjectForm):
    class Meta:
        model = IncomingMaterial
        fields = ["what", "sender", "received_on", "song", "medium", "rate", "tempo"]
        fields += ["start_point", "missing", "note"]
        widgets = NOTE | {"received_on": DATE, "missing": forms.Textarea(attrs={"rows": 2})}


class HandoverForm(OfProjectForm):
    class Meta:
        model = Handover
        fields = ["what", "medium", "signed_by", "on_behalf_of", "note"]
        widgets = NOTE


class VerifyForm(forms.Form):
    how = forms.CharField(
        label="How",
        max_length=120,
        initial="checksums compared",
        help_text="Checksums compared; opened and played from it …",
    )


class TellForm(forms.Form):
    text = forms.CharField(
        label="Letter", max_length=4000, widget=forms.Textarea(attrs={"rows": 7})
    )
    otherwise = forms.CharField(
        label="Told another way",
        required=False,
        max_length=120,
        help_text="By telephone, at the session … No letter is then sent.",
    )
