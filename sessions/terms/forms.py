from collections.abc import Iterable
from decimal import Decimal

from django import forms
from django.db.models import Model

from gear.editing.units import NOT_A_NUMBER, UnitsForm
from gear.equipment.models import GearModel, Unit
from sessions.clients.models import Person
from sessions.editing.retiring import RetirableForm
from sessions.rooms.models import Room
from sessions.terms.currencies import FINER_THAN_STORED, WITHOUT_MINOR_UNIT, rounded
from sessions.terms.models import CancellationStep, CancellationTerms, NoticeUnit, Rate, RateCard

NEGATIVE = "This cannot be below 0. For a reduction, give the session a discount."
KINDS = {"room": Room, "person": Person, "unit": Unit, "gear_model": GearModel}
WHOLE_UNITS = {NoticeUnit.BUSINESS_DAYS, NoticeUnit.MONTHS}
LONGEST_NOTICE = Decimal(9999)


class HoursField(forms.DecimalField):
    """Asks for hours, such as 10 or 7.5, and gives minutes; the model's limits are in minutes."""

    def __init__(self, **options):
        super().__init__(**options | {"min_value": 0, "max_value": 24})

    def prepare_value(self, value):
        return f"{value / 60:g}" if isinstance(value, int) else value

    def clean(self, value) -> int | None:
        hours = super().clean(value)
        return None if hours is None else round(hours * 60)

    def has_changed(self, initial, data) -> bool:
        return super().has_changed(None if initial is None else Decimal(initial) / 60, data)


class CardForm(UnitsForm, RetirableForm):
    class Meta:
        model = RateCard
        fields = [
            "name",
            "currency",
            "minimum_minutes",
            "step_minutes",
            "day_minutes",
            "overtime_after_minutes",
            "overtime_percent",
            "set_up_percent",
            "deposit_percent",
            "tax_name",
            "tax_percent",
            "note",
            "retired",
        ]
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "set_up_percent": "Of the hourly rate of rooms and people, for the minutes that are "
            "reserved around a session. 0: not billed. 100: in full.",
        }
        labels = {
            "day_minutes": "Hours of a day rate, h",
            "set_up_percent": "Load-in and teardown, per cent",
            "overtime_after_minutes": "Overtime after, h",
        }
        field_classes = {"day_minutes": HoursField, "overtime_after_minutes": HoursField}

    def clean_currency(self) -> str:
        currency = self.cleaned_data["currency"].upper()
        if currency in FINER_THAN_STORED:
            raise forms.ValidationError(
                f"Amounts have two decimal places, and {currency} needs more: choose "
                "another currency."
            )
        if currency in WITHOUT_MINOR_UNIT and self.instance.pk:
            broken = [rate for rate in self.instance.rates.all() if rate.amount % 1]
            if broken:
                raise forms.ValidationError(
                    f"{currency} has no smaller unit, but {len(broken)} of the card’s rates are not "
                    "whole amounts: change those first."
                )
        return currency


class RateForm(forms.ModelForm):
    """A rate on the card of the form's instance."""

    thing = forms.ChoiceField(
        label="Applies to",
        help_text="A unit’s own rate takes precedence over the rate of its model.",
    )
    field_order = ["thing", "basis", "amount", "tax_percent"]

    class Meta:
        model = Rate
        fields = ["basis", "amount", "tax_percent"]
        help_texts = {"amount": "Without tax. 0 for what is free."}
        error_messages = {
            "amount": {
                "invalid": NOT_A_NUMBER,
                "min_value": NEGATIVE,
                "max_decimal_places": "Enter at most two decimal places, such as 45.50.",
                "max_digits": "This is too large: enter at most eight digits.",
                "max_whole_digits": "This is too large: enter at most eight digits.",
            }
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        card = self.instance.card
        self.units = {"amount": card.currency}
        chosen = None if self.instance._state.adding else self.instance.key
        self.fields["thing"].choices = [
            ("", "Choose a room, a person or gear"),
            *_things(chosen),
        ]
        if chosen:
            self.initial["thing"] = _thing_value(*chosen)

    def clean_amount(self) -> Decimal:
        amount, currency = self.cleaned_data["amount"], self.instance.card.currency
        if rounded(amount, currency) != amount:
            raise forms.ValidationError(f"{currency} has no smaller unit: enter a whole amount.")
        return amount

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("thing"):
            return cleaned
        kind, _, key = cleaned["thing"].rpartition("-")
        for name in KINDS:
            setattr(self.instance, f"{name}_id", int(key) if name == kind else None)
        same = Rate.objects.filter(
            card=self.instance.card, basis=cleaned.get("basis"), **{f"{kind}_id": key}
        )
        if same.exclude(pk=self.instance.pk).exists():
            self.add_error(
                "basis", "The card already has a rate for this on that basis: edit that one."
            )
        return cleaned


class TermsForm(UnitsForm, RetirableForm):
    class Meta:
        model = CancellationTerms
        fields = [
            "name",
            "counted_from",
            "grace_minutes",
            "moving_is_free",
            "files_after_payment",
            "note",
            "retired",
        ]
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}


class StepForm(UnitsForm):
    class Meta:
        model = CancellationStep
        fields = [
            "applies_to",
            "notice_unit",
            "notice_from",
            "notice_below",
            "percent",
            "charge_of",
        ]

    def clean(self):
        cleaned = super().clean()
        unit = cleaned.get("notice_unit")
        for name in ("notice_from", "notice_below"):
            number = cleaned.get(name)
            if number is None:
                continue
            if unit in WHOLE_UNITS and number % 1:
                self.add_error(name, "Business days and months are whole: enter a whole number.")
            elif number > LONGEST_NOTICE or (unit == NoticeUnit.MONTHS and number > 120):
                self.add_error(name, "That is too long: nobody books that far ahead.")
        at_least, below = cleaned.get("notice_from"), cleaned.get("notice_below")
        if at_least is not None and below is not None and below <= at_least:
            self.add_error(
                "notice_below",
                f"This must be more than {at_least.normalize():f}, the minimum notice.",
            )
        return cleaned


def _things(chosen: tuple[str, int] | None) -> Iterable[tuple[str, list[tuple[str, str]]]]:
    offered = {
        "Rooms": ("room", Room.objects.all()),
        "People": ("person", Person.objects.filter(bookable=True)),
        "Any unit of a model": ("gear_model", GearModel.objects.order_by("maker", "name")),
        "One unit": ("unit", Unit.objects.for_list()),
    }
    for label, (kind, things) in offered.items():
        found = [thing for thing in things if _is_current(thing) or (kind, thing.pk) == chosen]
        if chosen and chosen[0] == kind and chosen[1] not in {thing.pk for thing in found}:
            found.append(KINDS[kind].objects.get(pk=chosen[1]))
        yield label, [(_thing_value(kind, thing.pk), str(thing)) for thing in found]


def _is_current(thing: Model) -> bool:
    return not getattr(thing, "retired", False) and getattr(thing, "state", "") != "retired"


def _thing_value(kind: str, key: int) -> str:
    return f"{kind}-{key}"
