from django import forms
from django.conf import settings
from django.template.defaultfilters import filesizeformat

from sessions.deliverables.formats import FORMATS
from sessions.deliverables.models import SOUND_KINDS

ENDINGS = [ending for format in FORMATS.values() for ending in format.endings]


class UploadForm(forms.Form):
    kind = forms.ChoiceField(
        label="Kind",
        choices=[(kind.value, kind.label) for kind in SOUND_KINDS],
        initial=SOUND_KINDS[0],
    )
    file = forms.FileField(
        widget=forms.FileInput(attrs={"accept": ",".join(["audio/*", *ENDINGS])}),
        error_messages={
            "required": "Choose the file to upload.",
            "empty": "The file is empty: export or copy it again.",
        },
    )
    note = forms.CharField(
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="What is in it, and what changed since the previous version.",
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        most = filesizeformat(settings.UPLOAD_LIMIT_BYTES)
        self.fields["file"].help_text = (
            f"WAV, AIFF, FLAC, MP3, Ogg or M4A, up to {most}. It is measured on upload, "
            "which takes a few seconds, and kept unchanged."
        )

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > settings.UPLOAD_LIMIT_BYTES:
            has, most = filesizeformat(file.size), filesizeformat(settings.UPLOAD_LIMIT_BYTES)
            raise forms.ValidationError(
                f"The file has {has}, and at most {most} can be uploaded: split it, or "
                "upload FLAC instead of WAV."
            )
        return file
