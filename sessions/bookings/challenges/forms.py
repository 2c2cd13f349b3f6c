from django import forms

from sessions.bookings.models import RecordingSession


class HoldField(forms.ModelChoiceField):
    def label_from_instance(self, hold) -> str:
        return f"{hold} ({hold.project}, {hold.project.client}): {hold.period_in_words}"


class ChallengeForm(forms.Form):
    """Which of the holds before a session is to answer."""

    hold = HoldField(
        RecordingSession.objects.none(),
        empty_label=None,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose the hold that is to be confirmed or released.",
            "invalid_choice": "That hold is no longer ahead of this session.",
        },
    )

    def __init__(self, *args, holds: list[RecordingSession], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["hold"].queryset = RecordingSession.objects.filter(
            pk__in=[hold.pk for hold in holds]
        ).select_related("project__client")
