from datetime import timedelta
from operator import itemgetter

from django import forms
from django.utils import timezone
from django.utils.text import capfirst

from sessions.bookings.filters import DAY
from studio.changes.entries import recorded
from studio.changes.names import kinds_of
from studio.models import User

CLOCK = "studio"
SHOWN_DAYS = 7


class ChangesForm(forms.Form):
    """Which days, whose changes, and of what."""

    since = forms.DateField(label="From", required=False, **DAY)
    until = forms.DateField(label="To", required=False, **DAY)
    by = forms.ChoiceField(label="By", required=False)
    of = forms.ChoiceField(label="Of", required=False)

    def __init__(self, asked):
        today = timezone.localdate()
        usual = {
            "since": today - timedelta(days=SHOWN_DAYS - 1),
            "until": today,
            "by": "",
            "of": "",
        }
        super().__init__({name: asked.get(name) or value for name, value in usual.items()})
        users = [(str(user.pk), str(user)) for user in User.objects.all()]
        self.fields["by"].choices = [("", "Anybody"), (CLOCK, "The studio by itself"), *users]
        kinds = [(model._meta.label_lower, capfirst(kinds_of(model))) for model in recorded()]
        self.fields["of"].choices = [("", "Anything"), *sorted(kinds, key=itemgetter(1))]

    def clean(self) -> dict:
        data = super().clean()
        since, until = data.get("since"), data.get("until")
        if since and until and until < since:
            self.add_error("until", "This is before the first day.")
        return data
