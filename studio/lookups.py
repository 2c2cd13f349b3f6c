from django.db.models import IntegerField
from django.db.models.lookups import In

LARGEST = 2**63 - 1  # that a database holds


@IntegerField.register_lookup
class InHeld(In):
    """`pk__in` and the like for numbers that somebody sent: what no row can have is left out, as
    Django itself does for one number."""

    def get_prep_lookup(self):
        numbers = super().get_prep_lookup()
        if not isinstance(numbers, list):
            return numbers
        return [n for n in numbers if not isinstance(n, int) or -LARGEST <= n <= LARGEST]
