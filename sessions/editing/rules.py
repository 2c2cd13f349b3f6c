"""Rules that fields and tables of several slices share."""

from functools import reduce
from operator import or_

from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db.models import Q

PERCENT = [MinValueValidator(0), MaxValueValidator(100)]
CURRENCY = RegexValidator("^[A-Z]{3}$", "Enter the three letters of the currency, such as GBP.")


def one_of(*fields: str) -> Q:
    """Exactly one of these stands in the row."""
    return reduce(or_, (Q(**{f"{each}__isnull": each != one for each in fields}) for one in fields))
