"""Sums over rows of another table, as annotations: one query, however many rows there are."""

from decimal import Decimal

from django.db.models import DecimalField, OuterRef, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce

MONEY = {"max_digits": 12, "decimal_places": 2}


def summed(rows: QuerySet, of: str, field: str = "amount") -> Coalesce:
    """The sum of a field over those rows that belong, by `of`, to the row outside; 0 without any."""
    mine = rows.filter(**{of: OuterRef("pk")}).order_by().values(of)
    return Coalesce(
        Subquery(mine.annotate(sum=Sum(field)).values("sum")),
        Value(Decimal(0)),
        output_field=DecimalField(max_digits=14, decimal_places=2),
    )
