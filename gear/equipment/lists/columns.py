"""The columns of the lists: what a cell says, and what is read from it."""

from dataclasses import dataclass
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db.backends.base.operations import BaseDatabaseOperations
from django.db.models import BooleanField, DecimalField, Field, IntegerField, Model, TextField

from gear.comma_separated import as_text
from gear.equipment.forms import GearModelForm
from gear.equipment.models import GearModel, Unit

RANGES = BaseDatabaseOperations.integer_field_ranges
YES, NO = {"yes", "y", "true", "1"}, {"no", "n", "false", "0"}


@dataclass(frozen=True)
class Column:
    """A heading and the fact of a model or a unit that stands under it."""

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

    def written(self, thing: Model) -> str:
        """The fact as a cell of a file: text that looks like a formula is made harmless."""
        shown = self.shown(thing)
        return shown if isinstance(self.field, DecimalField | IntegerField) else as_text(shown)

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
        if number is None or not number.is_finite() or (whole and number % 1):
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


def _columns(model: type[Model], headings: dict[str, str]) -> tuple[Column, ...]:
    """A fact without a heading of its own is headed by its name."""
    fields = [model._meta.get_field(name) for name in headings]
    return tuple(
        Column(headings[field.name] or field.verbose_name.replace(",", ""), field)
        for field in fields
    )


MODEL_COLUMNS = _columns(
    GearModel,
    dict.fromkeys(GearModelForm.Meta.fields, "")
    | {"name": "model", "own_supply": "own supply", "warm_up_minutes": "warm-up min"},
)
#: Beside these a line for a unit names its model, by maker and model, and its supply, by tag.
UNIT_COLUMNS = _columns(
    Unit,
    {
        "asset_tag": "tag",
        "serial_number": "",
        "state": "",
        "home_room": "room",
        "rack": "",
        "slot": "",
        "note": "",
    },
)
MODEL_HEAD = [column.heading for column in MODEL_COLUMNS]
UNIT_HEAD = ["tag", "maker", "model", *(c.heading for c in UNIT_COLUMNS[1:-1]), "supply", "note"]


def model_cells(model: GearModel) -> list[str]:
    return [column.written(model) for column in MODEL_COLUMNS]


def unit_cells(unit: Unit) -> list[str]:
    """Reads unit.model and unit.supply; load it `for_list`."""
    cells = {column.heading: column.written(unit) for column in UNIT_COLUMNS} | {
        "maker": as_text(unit.model.maker),
        "model": as_text(unit.model.name),
        "supply": as_text(unit.supply.asset_tag) if unit.supply else "",
    }
    return [cells[heading] for heading in UNIT_HEAD]
