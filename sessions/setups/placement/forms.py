import secrets

from django import forms
from django.core.exceptions import ValidationError

from gear.editing.units import UnitsForm
from sessions.setups.chains.fields import SeenField
from sessions.setups.models import Placement

PHOTO_TYPES = {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp"}
PHOTO_LIMIT_MB = 20
PHOTO_LIMIT_MEGAPIXELS = 60


class PlacementForm(UnitsForm):
    photo = forms.ImageField(
        required=False,
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        help_text=f"JPEG, PNG or WebP, at most {PHOTO_LIMIT_MB} MB.",
    )
    remove_photo = forms.BooleanField(required=False, label="Take the photo out")
    seen = SeenField()

    class Meta:
        model = Placement
        fields = [*Placement.FACTS, "photo"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if not self.instance.photo:
            del self.fields["remove_photo"]

    def clean(self):
        facts = super().clean()
        if facts.get("pop_filter_cm") is not None:
            facts["pop_filter"] = True
        return facts

    def clean_photo(self):
        photo = self.cleaned_data["photo"]
        if not photo or not hasattr(photo, "image"):  # none, or the one that is stored already
            return None
        if photo.image.format not in PHOTO_TYPES:
            raise ValidationError("Choose a JPEG, PNG or WebP picture.")
        if photo.size > PHOTO_LIMIT_MB * 1_000_000:
            raise ValidationError(
                f"This picture is larger than {PHOTO_LIMIT_MB} MB: make it smaller."
            )
        width, height = photo.image.size
        if width * height > PHOTO_LIMIT_MEGAPIXELS * 1_000_000:
            raise ValidationError(
                f"This picture has more than {PHOTO_LIMIT_MEGAPIXELS} million pixels: make it smaller."
            )
        photo.name = f"{secrets.token_hex(8)}{PHOTO_TYPES[photo.image.format]}"
        return photo

    def facts(self) -> dict:
        """What is to be written down; `photo` only where it changes."""
        facts = {
            name: value
            for name, value in self.cleaned_data.items()
            if name not in ("seen", "photo", "remove_photo")
        }
        if self.cleaned_data["photo"]:
            facts["photo"] = self.cleaned_data["photo"]
        elif self.cleaned_data.get("remove_photo"):
            facts["photo"] = ""
        return facts
