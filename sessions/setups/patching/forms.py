from django import forms

from sessions.bookings.models import RecordingSession


class SessionChoiceForm(forms.Form):
    """Whose patching to show."""

    session = forms.ModelChoiceField(
        RecordingSession.objects.none(), required=False, empty_label="All that are under way"
    )

    def __init__(self, *args, sessions, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["session"].queryset = sessions
