"""The client, project and song that are made from a file, in one form that is filled in from it."""

from django import forms
from django.core.exceptions import ValidationError

from sessions.clients.models import BitDepth, Client, Project, SampleRate
from sessions.recall.imported.alike import alike, cleaned, cut_note, same
from sessions.songs.forms import SongForm
from sessions.songs.models import Song
from sessions.songs.tempo import tempo_text


class ProjectField(forms.ModelChoiceField):
    def label_from_instance(self, project: Project) -> str:
        return f"{project} ({project.artist}), {project.client}"


def _fill(form: forms.ModelForm, told: dict[str, str]) -> None:
    """With what the file says, cut to the field, which says so."""
    for name, text in told.items():
        most = form.fields[name].max_length
        form.initial[name] = cleaned(text, most) if most else text
        if most and (note := cut_note(text, most)):
            form.fields[name].help_text = f"{note} {form.fields[name].help_text}".strip()


def _say_alike(field: forms.Field, found: list) -> None:
    if found:
        names = "; ".join(field.label_from_instance(each) for each in found)
        field.help_text = f"Already here, and alike: {names}."


class NewClientForm(forms.ModelForm):
    """One that is here, or a new one by this name."""

    legend = "Client"
    here = forms.ModelChoiceField(
        Client.objects.none(), label="Client", required=False, empty_label="A new client:"
    )
    field_order = ["here", "name"]

    class Meta:
        model = Client
        fields = ["name"]
        labels = {"name": "Name of the new client"}
        help_texts = {"name": "Only where none is chosen above."}

    def __init__(self, data=None, *, song: dict):
        super().__init__(data, prefix="client")
        clients = Client.objects.current()
        _fill(self, {"name": song["client"]})
        self.fields["here"].queryset = clients
        self.fields["name"].required = False
        self.initial["here"] = same(song["client"], clients)
        _say_alike(self.fields["here"], alike(song["client"], clients))

    def clean(self):
        facts = super().clean()
        if not facts.get("here") and not facts.get("name") and "name" not in self.errors:
            self.add_error("name", "Choose a client above, or name the new one.")
        return facts

    def validate_unique(self):
        """The name counts only where no client is chosen."""
        if not self.cleaned_data.get("here"):
            super().validate_unique()

    def _get_validation_exclusions(self):
        exclude = super()._get_validation_exclusions()
        return exclude | {"name"} if self.cleaned_data.get("here") else exclude

    @property
    def client(self) -> Client:
        return self.cleaned_data["here"] or self.instance


class NewProjectForm(forms.ModelForm):
    """One that is here, or, where `may_be_new`, a new one of the client."""

    legend = "Project"
    here = ProjectField(Project.objects.none(), label="Project", required=False)
    field_order = ["here"]

    class Meta:
        model = Project
        fields = ["name", "artist", "sample_rate", "bit_depth", "full_scale_dbu"]
        labels = {"name": "Name of the new project"}
        help_texts = {
            "name": "This and what follows only where none is chosen above; the client, too."
        }

    def __init__(self, data=None, *, song: dict, user, may_be_new: bool):
        super().__init__(data, prefix="project")
        projects = Project.objects.visible_to(user).current().select_related("client")
        here = self.fields["here"]
        here.queryset = projects
        here.empty_label = "A new project:" if may_be_new else "Choose a project"
        here.required = not may_be_new
        found = [each for each in alike(song["project"], projects) if _same_artist(each, song)]
        self.initial["here"] = same(song["project"], found)
        _say_alike(here, found)
        if may_be_new:
            self._fill_in(song)
        else:
            for name in self.Meta.fields:
                del self.fields[name]

    def _fill_in(self, song: dict) -> None:
        _fill(self, {"name": song["project"], "artist": song["artist"]})
        if song["sample_rate_hz"] in SampleRate.values:
            self.initial["sample_rate"] = song["sample_rate_hz"]
        if song["bit_depth"] in BitDepth.values:
            self.initial["bit_depth"] = song["bit_depth"]
        if 0 <= song["full_scale_dbu"] <= 30:
            self.initial["full_scale_dbu"] = round(song["full_scale_dbu"], 1)
        for name in self.Meta.fields:
            self.fields[name].required = False

    def clean(self):
        facts = super().clean()
        if not facts.get("here"):
            for name in self.fields:
                if name != "here" and name not in self.errors and facts.get(name) in (None, ""):
                    self.add_error(name, "A new project needs this.")
        return facts

    def _get_validation_exclusions(self):
        exclude = super()._get_validation_exclusions()
        return exclude | set(self.Meta.fields) if self.cleaned_data.get("here") else exclude

    def check_name(self, client: Client) -> None:
        name = self.cleaned_data["name"]
        if client.projects.filter(name=name).exists():
            self.add_error("name", f"{client} has a project “{name}” already: choose it above.")

    @property
    def project(self) -> Project:
        return self.cleaned_data["here"] or self.instance


def _same_artist(project: Project, song: dict) -> bool:
    return not song["artist"] or bool(alike(song["artist"], [project.artist]))


class NewSongForm(SongForm):
    """Its parts, too, where the file names any."""

    legend = "Song"
    with_parts = forms.BooleanField(label="Make its parts, too", required=False, initial=True)

    def __init__(self, data=None, *, song: dict, parts: list[str]):
        super().__init__(data, prefix="song", instance=Song(project=Project()))
        _fill(
            self, {name: song[name] for name in ("title", "key", "meter", "isrc", "iswc", "note")}
        )
        self.initial["tempo_map"] = tempo_text(song["tempo_map"])
        if parts:
            self.fields["with_parts"].help_text = ", ".join(parts)
        else:
            del self.fields["with_parts"]

    def clean_title(self):
        """The project may be one that is not here yet: see `check_title`."""
        return self.cleaned_data["title"]

    def check_title(self, project: Project) -> None:
        title = self.cleaned_data.get("title")
        if title and project.pk and project.songs.filter(title=title).exists():
            refusal = f"{project} has a song “{title}” already: import the sheet for that one."
            self.add_error("title", ValidationError(refusal))
