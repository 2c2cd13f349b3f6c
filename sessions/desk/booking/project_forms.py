"""A client, a project and its songs that are new with a booking: they are saved with it, or not at all."""

from django import forms

from sessions.clients.models import Client, Project
from sessions.desk.booking.known import KNOWN
from sessions.editing.picking import PickOrType
from sessions.songs.models import Song

LONGEST_LIST = 4000


class NewProjectFields(forms.BaseForm):
    """What a form asks in the place of a project that is there already. A name that is known means
    the one that has it, so that nothing is made twice."""

    NEW = ("new_project", "client", "artist", "songs")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        named = self.data.get("new_project") or self.data.get("client")
        self.fields["project"].required = not named
        self.fields["new_project"] = _name(Project, "name", label="New project")
        self.fields["client"] = _name(
            Client,
            "name",
            label="Client",
            widget=PickOrType(asks=KNOWN["clients"]),
            help_text="One that is new is saved, too.",
        )
        self.fields["artist"] = _name(
            Project, "artist", label="Artist", help_text="Empty: the client’s name."
        )
        self.fields["songs"] = forms.CharField(
            label="Songs",
            required=False,
            max_length=LONGEST_LIST,
            widget=forms.Textarea(attrs={"rows": 2}),
            help_text="New ones, a line each.",
        )

    @property
    def fields_of_new(self) -> list[forms.BoundField]:
        return [self[name] for name in self.NEW]

    @property
    def asks_for_new(self) -> bool:
        """Whether somebody has begun to name a new one."""
        return any(self[name].value() for name in self.NEW)

    def clean_songs(self) -> list[str]:
        titles = [" ".join(line.split()) for line in self.cleaned_data["songs"].splitlines()]
        longest = Song._meta.get_field("title").max_length
        if any(len(title) > longest for title in titles):
            raise forms.ValidationError(f"A title has at most {longest} characters.")
        return list(dict.fromkeys(filter(None, titles)))

    def clean(self):
        cleaned = super().clean()
        name = cleaned.get("new_project")
        if cleaned.get("project"):
            if name:
                self.add_error("new_project", "Choose a project or name a new one, not both.")
        elif name:
            self._clean_new(cleaned, name)
        elif cleaned.get("client") and not self["project"].value():
            self.add_error("new_project", "Name the project, or choose one of the client’s above.")
        return cleaned

    def _clean_new(self, cleaned: dict, name: str) -> None:
        if not cleaned.get("client"):
            if not self.has_error("client"):
                self.add_error("client", "Who is it for? Choose a client, or name a new one.")
            return
        client = Client.objects.filter(name__iexact=cleaned["client"]).first()
        if client is None:
            return
        if client.retired:
            self.add_error("client", f"{client} is retired: choose another, or edit that client.")
        cleaned["client"] = client.name
        project = client.projects.filter(name__iexact=name).first()
        if project and project.retired:
            said = f"{client} has a retired project “{project}”: choose another name."
            self.add_error("new_project", said)
        elif project:
            cleaned["project"], cleaned["new_project"] = project, ""


def _name(model, field: str, **more) -> forms.CharField:
    longest = model._meta.get_field(field).max_length
    return forms.CharField(required=False, max_length=longest, **more)
