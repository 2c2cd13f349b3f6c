"""Forms for times inside and around a session: padding, and hours planned within a lockout."""

from collections.abc import Iterable

from django import forms

from sessions.bookings.actions import check_period
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.fields import AllTheSameForm, MinutesField, QueueBehindField, StudioTimeField
from sessions.bookings.models import RecordingSession, Reservation, WorkedHours
from sessions.bookings.outside_hours import OutsideHoursError
from sessions.bookings.padding import Padding


class PaddingForm(AllTheSameForm, forms.Form):
    """Minutes before and after for everything that a session takes, each its own."""

    def __init__(self, *args, reservations: Iterable[Reservation], may_queue: bool, **kwargs):
        super().__init__(*args, **kwargs)
        self.reservations = list(reservations)
        for each in self.reservations:
            self.fields[f"before_{each.pk}"] = MinutesField(
                label=f"{each.resource}: minutes before", initial=each.before_minutes
            )
            self.fields[f"after_{each.pk}"] = MinutesField(
                label=f"{each.resource}: minutes after", initial=each.after_minutes
            )
        if may_queue:
            self.fields["queue_behind"] = QueueBehindField()

    def clean(self):
        cleaned = super().clean()
        cleaned["padding"] = {
            each.resource: Padding(
                cleaned.pop(f"before_{each.pk}", None) or 0,
                cleaned.pop(f"after_{each.pk}", None) or 0,
            )
            for each in self.reservations
        }
        return cleaned

    def rows(self) -> list[tuple[Reservation, forms.BoundField, forms.BoundField]]:
        """For each reservation its two fields."""
        return [
            (each, self[f"before_{each.pk}"], self[f"after_{each.pk}"])
            for each in self.reservations
        ]

    def differences(self, current: RecordingSession) -> list[tuple[str, str, str]]:
        """Where what was typed differs from what is saved now: label, saved, typed."""
        saved = PaddingForm(reservations=current.reservations.for_list(), may_queue=False)
        typed = [field for _, before, after in self.rows() for field in (before, after)]
        rows = [
            (field.label, str(saved[field.name].value()), str(field.value() or 0))
            for field in typed
            if field.name in saved.fields
        ]
        return [row for row in rows if row[1] != row[2]]

    def refuse(self, refusal: BookingRefused) -> None:
        """Show why it cannot be beside the minutes of what it is about."""
        about = getattr(refusal, "clashes", None) or getattr(refusal, "outside", [])
        reservations = {each.resource: each for each in self.reservations}
        for problem in about:
            reservation = reservations[problem.resource]
            side = "before" if problem.starts_at < reservation.session.starts_at else "after"
            self.add_error(f"{side}_{reservation.pk}", str(problem))
        if not about:
            self.add_error(None, refusal.messages)
        if isinstance(refusal, OutsideHoursError):
            self.ask_all_the_same()


class HoursForm(AllTheSameForm, forms.Form):
    """Hours that are to be worked within a lockout, or were worked in any session, without a break."""

    starts_at = StudioTimeField(label="From")
    ends_at = StudioTimeField(label="To", help_text="Over midnight, give the next day.")
    note = forms.CharField(max_length=120, required=False)

    @classmethod
    def filled_with(cls, hours: WorkedHours, data=None) -> "HoursForm":
        facts = ("starts_at", "ends_at", "note")
        return cls(data, initial={name: getattr(hours, name) for name in facts})

    def clean(self):
        cleaned = super().clean()
        if {"starts_at", "ends_at"} <= cleaned.keys():
            check_period(cleaned["starts_at"], cleaned["ends_at"])
        return cleaned

    def refuse(self, refusal: BookingRefused) -> None:
        """Show why the hours cannot be; who is off work has no field of their own here."""
        if isinstance(refusal, OutsideHoursError):
            self.add_error("starts_at", [str(each) for each in refusal.outside])
            self.ask_all_the_same()
            return
        for field, sentences in refusal.message_dict.items():
            self.add_error(field if field in self.fields else None, sentences)
