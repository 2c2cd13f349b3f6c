from django import forms
from django.contrib.auth.forms import PasswordChangeForm
from django.core.exceptions import ValidationError
from django.utils import timezone

from sessions.links.models import WrongGuess
from studio.models import User


class OwnPassword(forms.Form):
    """Their password once more, before something changes by which they sign in: whoever finds a device
    signed in can't (OWASP, Multifactor Authentication and Authentication Cheat Sheets)."""

    password = forms.CharField(
        label="Your password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def __init__(self, user, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.user = user

    def clean_password(self) -> str:
        return own_password(self.user, self.cleaned_data["password"])


class ChangeOwnPassword(PasswordChangeForm):
    def clean_old_password(self) -> str:
        return own_password(self.user, self.cleaned_data["old_password"])


def own_password(user: User, password: str) -> str:
    """The password, if it is the user's. Raises ValidationError if not, and after too many wrong ones."""
    asker, now = f"password of {user.pk}", timezone.now()
    if WrongGuess.objects.too_many(asker, now):
        raise ValidationError("Too many wrong passwords. Try again in 15 minutes.")
    if not user.check_password(password):
        WrongGuess.objects.create(client=asker, at=now)
        raise ValidationError("This is not your password.")
    return password


class CodeForm(forms.Form):
    code = forms.CharField(
        label="Code",
        max_length=40,
        widget=forms.TextInput(
            attrs={
                "autocomplete": "one-time-code",
                "autocapitalize": "none",
                "spellcheck": "false",
                "class": "medium mono",
            }
        ),
    )


class AppCodeForm(CodeForm):
    """Of an app that is being set up: six digits."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["code"].help_text = "The six digits that the app shows now."
        self.fields["code"].widget.attrs |= {"inputmode": "numeric"}


class SignInCodeForm(CodeForm):
    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields[
            "code"
        ].help_text = (
            "The six digits that your authenticator app shows now, or one of your recovery codes."
        )
        self.fields["code"].widget.attrs |= {"autofocus": True}
