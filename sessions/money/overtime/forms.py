from django import forms
from django.core.exceptions import ValidationError

from sessions.bookings.clashes import ClashError
from sessions.bookings.fields import StudioTimeField
from sessions.signing.forms import SignatureForm


class UntilForm(forms.Form):
    """Until when the session is to go on."""

    ends_at = StudioTimeField(label="Until")


class OvertimeForm(SignatureForm):
    """The client’s signature under the overtime until then."""

    ends_at = StudioTimeField(
        widget=forms.DateTimeInput(attrs={"type": "hidden"}, format="%Y-%m-%dT%H:%M")
    )

    def refuse(self, refusal: ValidationError) -> None:
        """What is taken has no field of its own here."""
        self.add_error(None, sentences_of(refusal))


class VoidForm(forms.Form):
    reason = forms.CharField(
        max_length=200,
        help_text="Such as: the client left at eight. It is shown beside what was signed.",
    )


def sentences_of(refusal: ValidationError) -> list[str]:
    if isinstance(refusal, ClashError):
        return [str(clash) for clash in refusal.clashes]
    return refusal.messages
