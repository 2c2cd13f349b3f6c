from django import forms
from django.contrib.auth.forms import SetPasswordForm
from django.core.exceptions import ValidationError
from django.db.models import Q

from sessions.clients.models import Person
from studio.models import User
from studio.roles import Role

USERNAME = User._meta.get_field("username")


class PersonOrName(forms.Form):
    """Somebody of People who does not sign in yet, or a name by which they become one of them."""

    name = forms.CharField(max_length=120, required=False)
    email = forms.EmailField(label="E-mail", required=False, max_length=254)
    role = forms.ChoiceField(choices=Role, initial=Role.ENGINEER)
    bookable = forms.BooleanField(
        label="Can be booked",
        required=False,
        initial=True,
        help_text=Person._meta.get_field("bookable").help_text,
    )

    def clean_email(self) -> str:
        email = self.cleaned_data["email"]
        theirs = Q(email__iexact=email) | Q(person__email__iexact=email)
        if email and (user := User.objects.filter(theirs).first()):
            raise ValidationError(f"{user} signs in with this address already.")
        return email

    def clean(self):
        data = super().clean()
        if not data.get("name") and not data.get("person"):
            self.add_error("name", "Give the name, or choose somebody who is listed under People.")
        return data

    def save_person(self) -> Person:
        """Whoever was chosen, or has that e-mail address and no sign-in; else somebody new."""
        data = self.cleaned_data
        if person := data.get("person") or self._same_address(data["email"]):
            if data["bookable"] and not person.bookable:
                person.bookable, person.version = True, person.version + 1
                person.save()
            return person
        return Person.objects.create(
            name=data["name"],
            email=data["email"],
            does=Role(data["role"]).label,
            bookable=data["bookable"],
        )

    def _same_address(self, email: str) -> Person | None:
        known = Person.objects.current().filter(user=None, email__iexact=email)
        return known.first() if email else None


class InvitationForm(PersonOrName):
    person = forms.ModelChoiceField(
        Person.objects.current().filter(user=None),
        required=False,
        label="Listed under People",
        empty_label="Somebody new",
    )
    field_order = ["person"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["name"].help_text = "Of somebody new."
        self.fields["email"].help_text = (
            "The link goes there. Empty: it goes to the address under People, or is shown to you once, "
            "to hand over."
        )


class JoinForm(SetPasswordForm):
    """The first password, and the name to sign in with."""

    username = forms.CharField(
        label="You sign in as",
        max_length=USERNAME.max_length,
        validators=USERNAME.validators,
        help_text="Change it if you like. Letters, digits and @ . + - _, at most 150.",
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
    )
    field_order = ["username"]

    def clean_username(self) -> str:
        username = self.cleaned_data["username"]
        if User.objects.filter(username=username).exclude(pk=self.user.pk).exists():
            raise ValidationError(USERNAME.error_messages["unique"])
        return username


class ForgottenForm(forms.Form):
    email = forms.EmailField(
        label="E-mail",
        max_length=254,
        help_text="The one that the studio has of you.",
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )
