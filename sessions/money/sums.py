"""Sums over rows of another table, as annotations: one query, however many rows there are.

They are rounded to what is stored, since SQLite adds up floating points."""

from decimal import Decimal

from django.db.models import DecimalField, OuterRef, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce, Round

MONEY = {"max_digits": 12, "decimal_places": 2}


def summed(rows: QuerySet, of: str, field: str = "amount") -> Coalesce:
    """The sum of a field over those rows that belong, by `of`, to the row outside; 0 without any."""
    mine = rows.filter(**{of: OuterRef("pk")}).order_by().values(of)
    total = Round(Sum(field), 2)
    return Coalesce(
        Subquery(mine.annotate(sum=total).values("sum")),
        Value(Decimal(0)),
        output_field=DecimalField(max_digits=14, decimal_places=2),
    )
