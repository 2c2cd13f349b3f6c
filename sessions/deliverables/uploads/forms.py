from django import forms
from django.conf import settings
from django.template.defaultfilters import filesizeformat

from sessions.clients.orders import DeliverableKind
from sessions.deliverables.models import Deliverable, Limiting
from sessions.deliverables.uploads.models import LONGEST_NOTE
from sessions.storing import printable_name

LONGEST_SENT = 4096  # letters of a name as it is sent, of which the end is kept


class AboutForm(forms.Form):
    """What is said of all files that are uploaded together."""

    kind = forms.ChoiceField(
        label="Kind", choices=DeliverableKind.choices, initial=DeliverableKind.ROUGH_MIX
    )
    limiting = forms.ChoiceField(
        label="Limiter",
        required=False,
        choices=[("", "Not given"), *Limiting.choices],
        help_text="Whether the mix was printed through a limiter.",
    )
    note = forms.CharField(
        required=False,
        max_length=LONGEST_NOTE,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="What is in it, and what changed since the previous version.",
    )


class SentForm(AboutForm):
    """A file of which the upload begins, as the tus client says it: without its content."""

    filename = forms.CharField(max_length=LONGEST_SENT, strip=False)
    size = forms.IntegerField(
        min_value=1, error_messages={"min_value": "The file is empty: export or copy it again."}
    )
    modified = forms.IntegerField(required=False, min_value=0, max_value=1 << 53)
    batch = forms.UUIDField()
    add_to = forms.ModelChoiceField(Deliverable.objects.none(), required=False)

    def __init__(self, *args, song, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["add_to"].queryset = song.deliverables.all()
        self.fields["kind"].required = False  # where it is added to what has one

    def clean(self) -> dict:
        facts = super().clean()
        if add_to := facts.get("add_to"):
            facts["kind"] = add_to.kind
            if add_to.verdicts.exists():
                self.add_error(None, f"{add_to} was judged as it is: upload this as a new version.")
        elif not facts.get("kind"):
            self.add_error("kind", "Choose a kind.")
        return facts

    def clean_filename(self) -> str:
        return printable_name(self.cleaned_data["filename"])

    def clean_size(self) -> int:
        size, most = self.cleaned_data["size"], settings.UPLOAD_LIMIT_BYTES
        if size > most:
            raise forms.ValidationError(
                f"The file has {filesizeformat(size)}, and at most {filesizeformat(most)} can be "
                "uploaded: split it, or upload FLAC instead of WAV.",
                code="too large",
            )
        return size
