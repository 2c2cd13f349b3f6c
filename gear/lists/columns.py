"""The columns of the lists: what a cell says, and what is read from it."""

from dataclasses import dataclass
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db.backends.base.operations import BaseDatabaseOperations
from django.db.models import BooleanField, DecimalField, Field, IntegerField, Model, TextField

RANGES = BaseDatabaseOperations.integer_field_ranges
MOST_PLACES = (
    30  # before or behind the point: 1e999999 is short, and a megabyte once it is written out
)
YES, NO = {"yes", "y", "true", "1"}, {"no", "n", "false", "0"}


@dataclass(frozen=True)
class Column:
    """A heading and the fact of a thing that stands under it."""

    heading: str
    field: Field

    def shown(self, thing: Model) -> str:
        """The fact as a person reads it: Preamplifier, yes, -10, empty."""
        value = getattr(thing, self.field.name)
        if self.field.choices:
            return str(dict(self.field.flatchoices).get(value, value))
        if isinstance(value, bool):
            return "yes" if value else "no"
        if value is None:
            return ""
        return f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)

    def value(self, thing: Model):
        """The fact as a cell of a file is made from it: a figure, or what is shown."""
        value = getattr(thing, self.field.name)
        is_figure = isinstance(value, Decimal | int) and not self.field.choices
        return value if is_figure else self.shown(thing)

    def put(self, thing: Model, cell: str) -> None:
        """Give the thing what the cell says. Raises ValidationError that says what would do.

        An empty cell empties what may be empty; what may not stays as it is.
        """
        value = self._read(cell)
        if value is None and not self.field.null:
            if self.field.has_default() or self.field.choices:
                return
            value = ""
        setattr(thing, self.field.name, value)

    def _read(self, cell: str):
        if self.field.choices:
            return self._choice(cell)
        if not cell:
            return None
        if isinstance(self.field, BooleanField):
            return self._yes_or_no(cell)
        if isinstance(self.field, DecimalField | IntegerField):
            return self._number(cell)
        if "\n" in cell and not isinstance(self.field, TextField):
            raise ValidationError("Only a note may have more than one line.")
        return cell

    def _choice(self, cell: str) -> str | None:
        if not cell:
            return "" if self.field.blank else None
        for value, label in self.field.flatchoices:
            if cell.casefold() in (str(value).casefold(), str(label).casefold()):
                return value
        labels = ", ".join(str(label) for _, label in self.field.flatchoices)
        raise ValidationError(f"There is no such {self.heading}. Write one of: {labels}.")

    def _yes_or_no(self, cell: str) -> bool:
        if cell.casefold() in YES | NO:
            return cell.casefold() in YES
        raise ValidationError("Write yes or no.")

    def _number(self, cell: str) -> Decimal | int:
        whole = isinstance(self.field, IntegerField)
        try:
            number = Decimal(cell)
        except ArithmeticError:
            number = None
        if number is not None and (not number.is_finite() or abs(number.adjusted()) >= MOST_PLACES):
            number = None
        if number is None or (whole and number != number.to_integral_value()):
            example = "26" if whole else "26 or 4.5"
            raise ValidationError(
                f"This is not a {'whole number' if whole else 'number'}. Write figures only, such "
                f"as {example}; a point, not a comma, goes before decimals."
            )
        if not whole:
            return number
        low, high = RANGES[self.field.get_internal_type()]
        if not low <= number <= high:
            raise ValidationError(f"This lies between {low} and {high}.")
        return int(number)


def columns_of(model: type[Model], headings: dict[str, str]) -> tuple[Column, ...]:
    """A fact without a heading of its own is headed by its name."""
    fields = [model._meta.get_field(name) for name in headings]
    return tuple(
        Column(headings[field.name] or field.verbose_name.replace(",", ""), field)
        for field in fields
    )
