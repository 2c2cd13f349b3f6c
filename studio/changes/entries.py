"""Where changes are noted: in the histories, and in rows that are written once and never changed."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from django.apps import apps
from django.core.exceptions import EmptyResultSet
from django.db import connection
from django.db.models import IntegerField, Model, OuterRef, Q, QuerySet, Subquery, Value

from sessions.deliverables.listening.models import Verdict
from sessions.deliverables.media.models import Handover
from sessions.deliverables.nulling.models import NullTest
from sessions.deliveries.models import DeliveryEvent
from sessions.letters.models import Letter
from sessions.money.invoices.models import Invoice
from sessions.money.models import MoneyPaper
from sessions.money.payments.models import Allocation, Payment
from sessions.signing.models import Signature
from studio.changes.kinds import Kind, Part
from studio.erasures import Erasure
from studio.models import User


@dataclass(frozen=True)
class Noted:
    """`rows` that say when (`at`) something became of a `model`, and who did it (`by`)."""

    model: type[Model]
    rows: QuerySet
    at: str
    by: str

    @property
    def is_history(self) -> bool:
        return self.rows.model is not self.model

    @property
    def key(self) -> str:
        return self.rows.model._meta.pk.attname

    def only(self, *conditions: Q, **facts) -> "Noted":
        return replace(self, rows=self.rows.filter(*conditions, **facts))


#: When, and by whom: what is written once is its own record.
ONCE = {
    Verdict: ("at", "by"),
    DeliveryEvent: ("at", ""),
    NullTest: ("started_at", "started_by"),
    Handover: ("signed_at", "handed_by"),
    Signature: ("signed_at", "taken_by"),
    MoneyPaper: ("issued_at", "issued_by"),
    Invoice: ("issued_at", "issued_by"),
    Payment: ("recorded_at", "recorded_by"),
    Allocation: ("made_at", "made_by"),
    Letter: ("written_at", "written_by"),
    Erasure: ("at", ""),
}


def noted_of(model: type[Model]) -> Noted:
    if model in ONCE:
        return Noted(model, model._base_manager.order_by(), *ONCE[model])
    return Noted(
        model, model.history.model._base_manager.order_by(), "history_date", "history_user"
    )


def recorded() -> list[type[Model]]:
    """Every model of which changes are noted, in the order of its words."""
    histories = [
        model
        for model in apps.get_models()
        if hasattr(model._meta, "simple_history_manager_attribute")
    ]
    return sorted([*histories, *ONCE], key=lambda model: str(model._meta.verbose_name))


def noted_in(kind: Kind, thing: Model, user: User, may_open) -> Iterator[Noted]:
    """What was noted of the thing and of its parts, as far as the user may read it."""
    if kind.itself:
        yield noted_of(kind.model).only(**{kind.model._meta.pk.attname: thing.pk})
    for part in kind.parts:
        if part.told and (not part.page or may_open(user, part.page)):
            yield noted_of(part.model).only(_belonging(part, thing, user))


def _belonging(part: Part, thing: Model, user: User) -> Q:
    if part.among:
        return Q(id__in=part.among(user).order_by().values("pk"))
    if part.of is None:
        return Q(**{part.via: thing.pk})
    return Q(**{f"{part.via}__in": _keys(part.of, thing, user)})


def _keys(part: Part, thing: Model, user: User) -> QuerySet:
    """Of those too that are no more."""
    ever = getattr(part.model, "history", part.model._base_manager)
    return ever.filter(_belonging(part, thing, user)).order_by().values("id")


@dataclass(frozen=True)
class Place:
    """Up to where a list was read: the entry that it goes on behind."""

    at: datetime
    number: int  # of what was noted
    key: int

    def __str__(self) -> str:
        return f"{self.at.isoformat()},{self.number},{self.key}"

    @classmethod
    def read(cls, text: str) -> "Place | None":
        """None where it is no place."""
        at, _, rest = text.partition(",")
        number, _, key = rest.partition(",")
        try:
            place = cls(datetime.fromisoformat(at), int(number), int(key))
        except ValueError:
            return None
        is_one = place.at.tzinfo and 0 <= place.number < 1000 and 0 < place.key < 2**63
        return place if is_one else None


def newest(noted: list[Noted], *, limit: int, behind: Place | None = None) -> list[tuple[int, int]]:
    """The newest of all of them, first the last: number of what was noted, and key. One query."""
    selects, values = [], []
    for number, each in enumerate(noted):
        rows = each.rows.filter(_behind(each, number, behind)) if behind else each.rows
        rows = rows.order_by(f"-{each.at}", f"-{each.key}").values_list(
            Value(number, IntegerField()), each.at, each.key
        )
        try:
            sql, params = rows[:limit].query.sql_with_params()
        except EmptyResultSet:
            continue
        selects.append(f"SELECT * FROM ({sql}) AS noted_{number}")  # noqa: S608, Django’s own SQL
        values += params
    if not selects:
        return []
    with connection.cursor() as cursor:
        together = " UNION ALL ".join(selects)
        cursor.execute(f"{together} ORDER BY 2 DESC, 1, 3 DESC LIMIT {limit:d}", values)
        return [(number, key) for number, _, key in cursor.fetchall()]


def _behind(each: Noted, number: int, place: Place) -> Q:
    earlier, at_once = Q(**{f"{each.at}__lt": place.at}), Q(**{each.at: place.at})
    if number < place.number:
        return earlier
    if number > place.number:
        return earlier | at_once
    return earlier | at_once & Q(**{f"{each.key}__lt": place.key})


def loaded(each: Noted, keys: Iterable[int]) -> dict[int, tuple[Model, Model | None]]:
    """The entries of these keys, with the one before each of the same row. Two queries at most."""
    model = each.rows.model
    rows = model._base_manager.select_related(*filter(None, [each.by]))
    if not each.is_history:
        return {row.pk: (row, None) for row in rows.filter(pk__in=keys)}
    of = model._base_manager.filter(id=OuterRef("id")).order_by("-history_date", "-history_id")
    earlier = of.filter(
        Q(history_date__lt=OuterRef("history_date"))
        | Q(history_date=OuterRef("history_date"), history_id__lt=OuterRef("history_id"))
    )
    rows = rows.annotate(before_it=Subquery(earlier.values("history_id")[:1]))
    entries = {row.pk: row for row in rows.filter(pk__in=keys)}
    missing = {row.before_it for row in entries.values()} - {*entries, None}
    befores = entries | (model._base_manager.in_bulk(missing) if missing else {})
    return {key: (row, befores.get(row.before_it)) for key, row in entries.items()}
