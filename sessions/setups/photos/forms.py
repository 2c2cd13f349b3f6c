from django import forms

from sessions.setups.models import Photo

LARGEST_PHOTO = 15 << 20


class PhotoTakeForm(forms.Form):
    """A picture and what it is of."""

    about = forms.ChoiceField(label="What it shows")
    picture = forms.FileField(
        label="Picture",
        widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"}),
        help_text=f"JPEG, PNG or WebP, up to {LARGEST_PHOTO >> 20} MB. Where and with what it was "
        "taken is not kept.",
        error_messages={
            "required": "Take or choose a picture.",
            "empty": "The picture is empty: take it again.",
        },
    )
    caption = forms.CharField(max_length=200, required=False)

    def __init__(self, *args, subjects: dict[str, Photo], **kwargs):
        super().__init__(*args, **kwargs)
        groups = {}
        for key, photo in subjects.items():
            of = f"{photo.revision.chain}" if photo.revision else "Of the whole setup"
            groups.setdefault(of, []).append((key, str(photo)))
        self.fields["about"].choices = list(groups.items())

    def clean_picture(self):
        picture = self.cleaned_data["picture"]
        if picture.size > LARGEST_PHOTO:
            raise forms.ValidationError(
                f"This picture is larger than {LARGEST_PHOTO >> 20} MB: make it smaller."
            )
        return picture


class PhotoForm(forms.ModelForm):
    """Its caption, and which of a unit's controls can be read on it."""

    all_of_them = forms.BooleanField(required=False, label="All that is not logged")
    reads = forms.MultipleChoiceField(
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="Photographed, not logged: these controls",
        help_text="The controls that can be read on it and are not logged. They count as "
        "photographed, not as logged: whoever sets the unit up again must read them here.",
    )

    class Meta:
        model = Photo
        fields = ["caption", "reads"]

    field_order = ["caption", "all_of_them", "reads"]

    def __init__(self, *args, controls, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["reads"].choices = [(control.key, control.label) for control in controls]
        if not controls:
            del self.fields["reads"], self.fields["all_of_them"]

    def clean(self):
        facts = super().clean()
        if facts.get("all_of_them"):
            facts["reads"] = [key for key, _ in self.fields["reads"].choices]
        return facts
