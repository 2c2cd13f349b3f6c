from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

from django import forms

from gear.editing.units import UnitsForm
from sessions.editing.retiring import RetirableForm
from sessions.rooms.actions import Hours
from sessions.rooms.hours import hours_in_words
from sessions.rooms.models import HouseRules, Room, Studio, Weekday, WeeklyHours

SPELLS = 2  # of a day, with a break between them; as many as are saved, and one more


class HoursForm(forms.Form):
    """The week of a room or a person: from and to, as often a day as there are breaks."""

    def __init__(self, *args, hours: list[WeeklyHours], **kwargs):
        super().__init__(*args, **kwargs)
        longest = max(Counter(row.weekday for row in hours).values(), default=0)
        self.spells = range(1, max(SPELLS, longest + 1, *self._typed()) + 1)
        for weekday in Weekday:
            rows = [row for row in hours if row.weekday == weekday]
            for spell in self.spells:
                row = rows[spell - 1] if spell <= len(rows) else None
                name = f"{weekday.label}, {('and ' if spell > 1 else '')}"
                self.fields[f"opens_{weekday}_{spell}"] = _time_field(f"{name}from", row, "opens")
                self.fields[f"closes_{weekday}_{spell}"] = _time_field(f"{name}to", row, "closes")

    def _typed(self) -> Iterator[int]:
        """The spells that were typed into: somebody may have saved fewer meanwhile."""
        for name in self.data or ():
            side, _, number = name.rpartition("_")
            if side.startswith("opens_") and number.isdecimal() and len(number) == 1:
                yield int(number)

    def rows(self) -> list[tuple[str, list[forms.BoundField]]]:
        """For each weekday its fields, in the order of the day."""
        return [
            (
                weekday.label,
                [
                    self[f"{side}_{weekday}_{spell}"]
                    for spell in self.spells
                    for side in ("opens", "closes")
                ],
            )
            for weekday in Weekday
        ]

    def clean(self):
        cleaned = super().clean()
        cleaned["hours"] = [hours for weekday in Weekday for hours in self._hours_of(weekday)]
        return cleaned

    def _hours_of(self, weekday: Weekday) -> list[Hours]:
        spells = []
        for spell in self.spells:
            names = f"opens_{weekday}_{spell}", f"closes_{weekday}_{spell}"
            opens, closes = (self.cleaned_data.get(name) for name in names)
            if opens and closes:
                spells.append((weekday.value, opens, closes))
            elif opens and names[1] not in self.errors:
                self.add_error(names[1], "Enter the closing time as well, or leave both empty.")
            elif closes and names[0] not in self.errors:
                self.add_error(names[0], "Enter the opening time as well, or leave both empty.")
        for number, (before, after) in enumerate(pairwise(spells), start=2):
            if not before[1] < before[2] <= after[1]:
                self.add_error(
                    f"opens_{weekday}_{number}",
                    "Start after the first period has ended, or leave this empty.",
                )
        return spells

    def differences(self, saved: list[WeeklyHours]) -> list[tuple[str, str, str]]:
        """The days on which what was typed differs from what is saved now: day, saved, typed."""
        typed = [
            WeeklyHours(weekday=d, opens=o, closes=c) for d, o, c in self.cleaned_data["hours"]
        ]
        days = [
            (
                day.label,
                *(hours_in_words(r for r in rows if r.weekday == day) for rows in (saved, typed)),
            )
            for day in Weekday
        ]
        return [day for day in days if day[1] != day[2]]


def _time_field(label: str, row: WeeklyHours | None, side: str) -> forms.TimeField:
    return forms.TimeField(
        label=label,
        required=False,
        initial=getattr(row, side) if row else None,
        widget=forms.TimeInput(attrs={"type": "time", "class": "short"}, format="%H:%M"),
        error_messages={"invalid": "Enter a time, such as 10:00."},
    )


class HouseRulesForm(UnitsForm):
    class Meta:
        model = HouseRules
        fields = [
            "challenge_hours",
            "follow_up_hours",
            "reminder_hours",
            "session_hours",
            "currency",
            "tax_name",
            "tax_percent",
            "release_wording",
            "second_factor_for_managers",
            "idle_hours",
            "signed_in_days",
            "sound_tolerance_db",
            "tones_bottom_hz",
            "tones_top_hz",
        ]
        widgets = {
            "currency": forms.TextInput(attrs={"class": "short"}),
            "tax_name": forms.TextInput(attrs={"class": "medium"}),
        }
        help_texts = {
            "signed_in_days": "After so many days from the sign-in, in use or not. 0: never."
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.units["signed_in_days"] = "days"  # the longer one leaves no room for the figure


class StudioForm(forms.ModelForm):
    class Meta:
        model = Studio
        fields = [
            "name",
            "address",
            "phone",
            "email",
            "sender",
            "directions",
            "registration_number",
            "tax_number",
            "bank_details",
        ]
        widgets = {
            "address": forms.Textarea(attrs={"rows": 4}),
            "directions": forms.Textarea(attrs={"rows": 4}),
            "bank_details": forms.Textarea(attrs={"rows": 4}),
        }


LARGEST_LOGO = 2 << 20


class LogoForm(forms.Form):
    picture = forms.FileField(
        required=False,
        widget=forms.FileInput(attrs={"accept": "image/png,image/jpeg,image/webp"}),
        help_text="PNG, JPEG or WebP, up to 2 MB; it is made to fit 1000 × 400 pixels. It is printed "
        "on white, and often copied in black and white: dark on light is best.",
        error_messages={"empty": "The picture is empty: choose another."},
    )
    remove = forms.BooleanField(required=False, label="Remove the logo")

    def clean_picture(self):
        picture = self.cleaned_data["picture"]
        if picture and picture.size > LARGEST_LOGO:
            raise forms.ValidationError("This picture is larger than 2 MB: make it smaller.")
        return picture

    def clean(self):
        facts = super().clean()
        chosen, remove = facts.get("picture"), facts.get("remove")
        if chosen and remove:
            self.add_error("remove", "Either choose a picture, or remove the logo.")
        elif not remove and not chosen and "picture" not in self.errors:
            self.add_error("picture", "Choose a picture.")
        return facts


class RoomForm(RetirableForm):
    class Meta:
        model = Room
        fields = ["name", "note", "retired"]
