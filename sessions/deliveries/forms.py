from datetime import datetime, time, timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from sessions.clients.models import Person
from sessions.deliverables.models import Deliverable
from sessions.deliveries.models import ApprovedRecipient, Delivery, DeliveryRecipient, Paper
from sessions.deliveries.rules import Recipient, why_not_ready, why_not_to
from sessions.periods import instant_of

OPENS_FOR = timedelta(days=14)
LONGEST = timedelta(days=366)
DATE = forms.DateInput(attrs={"type": "date", "class": "medium"}, format="%Y-%m-%d")


class ExpiryForm(forms.Form):
    """How long a link opens: to the end of that day."""

    until = forms.DateField(label="Link opens until", widget=DATE)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["until"].initial = timezone.localdate() + OPENS_FOR

    def clean_until(self):
        until, today = self.cleaned_data["until"], timezone.localdate()
        if until < today:
            raise ValidationError("This day is over: choose today or later.")
        if until > today + LONGEST:
            raise ValidationError("A link opens for a year at most: choose an earlier day.")
        return until

    def expires_at(self) -> datetime:
        return instant_of(datetime.combine(self.cleaned_data["until"], time.max))


class SendForm(ExpiryForm):
    """To whom a deliverable goes, for how long, and what goes with it.

    Whoever `sends_to_anybody` may name somebody who is not on the project's list.
    """

    recipients = forms.MultipleChoiceField(
        label="To",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one recipient."},
    )
    name = forms.CharField(label="Somebody else", required=False, max_length=120)
    email = forms.EmailField(label="Their e-mail", required=False)
    message = forms.CharField(
        required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3})
    )
    password = forms.CharField(
        required=False,
        max_length=100,
        help_text="If wanted. It is not in the e-mail: tell it another way.",
        widget=forms.TextInput(attrs={"class": "medium", "autocomplete": "off"}),
    )
    deliverables = forms.ModelMultipleChoiceField(
        Deliverable.objects.none(), label="What is sent", widget=forms.CheckboxSelectMultiple
    )
    papers = forms.MultipleChoiceField(
        label="Papers in the pack",
        required=False,
        choices=Paper.choices,
        widget=forms.CheckboxSelectMultiple,
    )
    field_order = ["recipients", "name", "email", "until", "message", "password"]

    def __init__(self, *args, deliverable: Deliverable, sends_to_anybody: bool, **kwargs):
        super().__init__(*args, **kwargs)
        self.project, song = deliverable.song.project, deliverable.song
        self.approved = {
            f"{each.pk}": each
            for each in self.project.approved_recipients.select_related("person")
            if each.address
        }
        self.fields["recipients"].choices = [
            (key, f"{each}, {each.address}") for key, each in self.approved.items()
        ]
        self.fields["recipients"].initial = self._likely_recipients()
        if not self.approved:
            del self.fields["recipients"]
        else:
            self.fields["recipients"].required = not sends_to_anybody
        if not sends_to_anybody:
            del self.fields["name"], self.fields["email"]
        newest = dict(song.deliverables.order_by("version").values_list("kind", "pk"))
        offered = song.deliverables.filter(pk__in=[deliverable.pk, *newest.values()])
        self.fields["deliverables"].queryset = offered.prefetch_related("files")
        self.fields["deliverables"].initial = [deliverable.pk]

    def _likely_recipients(self) -> list[str]:
        last = Delivery.objects.filter(song__project=self.project).first()
        if last is None:
            return list(self.approved) if len(self.approved) == 1 else []
        sent_to = {address.lower() for address in last.recipients.values_list("email", flat=True)}
        return [key for key, each in self.approved.items() if each.address.lower() in sent_to]

    def clean_deliverables(self):
        chosen = list(self.cleaned_data["deliverables"])
        if reasons := [reason for each in chosen if (reason := why_not_ready(each))]:
            raise ValidationError(reasons)
        return chosen

    def clean(self):
        typed = self.cleaned_data
        if bool(typed.get("name")) != bool(typed.get("email")) and "email" not in self.errors:
            missing = "email" if typed.get("name") else "name"
            self.add_error(missing, "Enter both a name and an e-mail, or neither.")
        if self.errors:
            return
        to = "recipients" if "recipients" in self.fields else "name"
        if not self.chosen():
            self.add_error(to if to in self.fields else None, "Choose at least one recipient.")
        elif reason := why_not_to(self.chosen(), typed["deliverables"], self.project):
            self.add_error(to, reason)

    def chosen(self) -> list[Recipient]:
        """Each address once."""
        typed = self.cleaned_data
        approved = (self.approved[key] for key in typed.get("recipients", ()))
        found = [Recipient(str(each), each.address, each.person) for each in approved]
        if typed.get("email"):
            found.append(Recipient(typed["name"], typed["email"]))
        return list({each.email.lower(): each for each in reversed(found)}.values())[::-1]


class SendAgainForm(ExpiryForm):
    """Whoever does not send to anybody sends to those who are on the project's list by now."""

    def __init__(self, *args, recipient: DeliveryRecipient, sends_to_anybody: bool, **kwargs):
        super().__init__(*args, **kwargs)
        self.recipient, self.sends_to_anybody = recipient, sends_to_anybody
        sent_until = timezone.localdate(recipient.delivery.expires_at)
        self.fields["until"].initial = max(sent_until, self.fields["until"].initial)
        self.fields[
            "until"
        ].help_text = "The link sent before stops opening; the new one is e-mailed."

    def clean(self):
        project = self.recipient.delivery.song.project
        listed = project.approved_recipients.select_related("person")
        approved = {each.address.lower() for each in listed}
        if not self.sends_to_anybody and self.recipient.email.lower() not in approved:
            raise ValidationError(
                f"{self.recipient} is not one of the project’s approved recipients: ask a manager."
            )


class WithdrawForm(forms.Form):
    why = forms.CharField(
        label="Why",
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Recipients who are told can read it.",
    )
    tell = forms.BooleanField(label="Tell the recipients by e-mail", required=False, initial=True)


class ReleaseForm(forms.Form):
    """Asks why what waits for payment may go, while something is open."""

    why = forms.CharField(
        label="Why it may go",
        max_length=200,
        help_text="Kept in its history. The recipients do not see it.",
    )

    def __init__(self, *args, something_is_open: bool, **kwargs):
        super().__init__(*args, **kwargs)
        if not something_is_open:
            del self.fields["why"]


class ApprovedForm(forms.ModelForm):
    """Somebody more on the project's list: one of our people, or a name with an e-mail."""

    class Meta:
        model = ApprovedRecipient
        fields = ["person", "name", "email"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        approved = self.instance.project.approved_recipients.exclude(person=None)
        people = Person.objects.current().exclude(email="")
        self.fields["person"].queryset = people.exclude(pk__in=approved.values("person"))
        self.fields["person"].empty_label = "Somebody who is not listed under People"
        self.fields["person"].help_text = "People without an e-mail can’t be chosen."

    def clean(self):
        typed = super().clean()
        named = bool(typed.get("name")), bool(typed.get("email"))
        if typed.get("person") and any(named):
            self.add_error("person", "Choose a person or enter a name and an e-mail, not both.")
        elif not typed.get("person") and not all(named) and not self.errors:
            self.add_error("name" if not named[0] else "email", "Enter both a name and an e-mail.")
        elif self._is_listed(typed.get("email", "")):
            self.add_error("email", "This e-mail is on the list already.")
        return typed

    def _is_listed(self, email: str) -> bool:
        listed = self.instance.project.approved_recipients
        return bool(email) and listed.filter(email__iexact=email).exists()
