from django import forms
from django.contrib.auth.hashers import check_password
from django.core.exceptions import ValidationError
from django.core.validators import MaxLengthValidator
from django.utils import timezone

from sessions.deliverables.listening.forms import NoteForm, VerdictForm
from sessions.deliveries.models import DeliveryLink
from sessions.links.models import WrongGuess

LONGEST = 4000  # characters of a note


class PasswordForm(forms.Form):
    """The password of a delivery. Wrong ones are counted by link: whoever guesses has only that."""

    password = forms.CharField(
        max_length=100, widget=forms.PasswordInput(attrs={"autocomplete": "off"})
    )

    def __init__(self, *args, link: DeliveryLink, **kwargs):
        super().__init__(*args, **kwargs)
        self.link, self.guesser = link, f"delivery link {link.pk}"

    def clean_password(self):
        now = timezone.now()
        if WrongGuess.objects.too_many(self.guesser, now):
            raise ValidationError(
                "Too many wrong passwords were tried. Try again in 15 minutes.", "throttled"
            )
        typed = self.cleaned_data["password"]
        if not check_password(typed, self.link.recipient.delivery.password):
            WrongGuess.objects.create(client=self.guesser, at=now)
            raise ValidationError("This is not the password. Capital letters count.")
        return typed


class ReceivedForm(forms.Form):
    name = forms.CharField(label="Your name", max_length=120)


def _asks_who(form: forms.Form) -> None:
    """Of somebody without an account the name is all that is known."""
    field = form.fields["said_by"]
    field.label, field.help_text, field.required = "Your name", "", True
    form.fields["text"].max_length = LONGEST
    form.fields["text"].validators.append(MaxLengthValidator(LONGEST))


class TheirNoteForm(NoteForm):
    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        _asks_who(self)


class TheirVerdictForm(VerdictForm):
    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        _asks_who(self)
        self.fields["choice"].label = "Is this mix as you want it?"
