"""What rows are called, also those that are no more, in a constant number of queries."""

from collections import defaultdict
from collections.abc import Callable, Iterable

from django.core.exceptions import ObjectDoesNotExist
from django.db.models import Field, Model
from django.utils.formats import date_format
from django.utils.timezone import localdate

from gear.equipment.models import Fault, Unit
from gear.panels.models import Control, Panel
from gear.patchbay.models import Bay, Normal, PatchPoint
from sessions.bookings.models import (
    Attendance,
    AttendanceBreak,
    Challenge,
    Credit,
    CreditedOn,
    RecordingSession,
    Release,
    Reservation,
    Series,
)
from sessions.bookings.series.rules import Rule
from sessions.calendar.feeds.models import FeedAddress
from sessions.deliverables.listening.models import MixNote, Verdict
from sessions.deliverables.media.models import MediaCopy
from sessions.deliverables.mixes.models import MixInsert, MixRevision
from sessions.deliverables.models import Deliverable
from sessions.deliveries.models import (
    ApprovedRecipient,
    Delivery,
    DeliveryEvent,
    DeliveryLink,
)
from sessions.money.invoices.models import Invoice
from sessions.money.models import MoneyPaper
from sessions.money.payments.models import Allocation, Payment
from sessions.recall.models import Rebuild, RebuildStep, Tick
from sessions.recall.proving.models import Measurement
from sessions.rooms.models import HouseRules
from sessions.setups.headphones.models import HeadphoneLine
from sessions.setups.models import Chain, Placement, Revision, Stage
from sessions.songs.models import LyricLine, Part
from sessions.takes.models import CompChoice, CompGrade, Take, TakePart
from sessions.terms.agreements.models import Agreement
from sessions.terms.models import Rate
from studio.erasures import Erasure
from studio.models import User
from studio.password_links import PasswordLink

#: What a row's words read of other rows.
READS = {
    Unit: ("model",),
    Fault: ("unit",),
    Panel: ("model",),
    PatchPoint: ("bay",),
    Normal: ("source", "destination"),
    Attendance: ("person",),
    Challenge: ("challenger", "hold"),
    Credit: ("person",),
    CreditedOn: ("song", "part"),
    Release: ("person",),
    Reservation: ("room", "person", "unit"),
    FeedAddress: ("room", "person"),
    Deliverable: ("song",),
    MixNote: ("deliverable",),
    Verdict: ("deliverable",),
    MediaCopy: ("deliverable", "session", "medium"),
    MixRevision: ("setup",),
    MixInsert: ("unit",),
    ApprovedRecipient: ("person",),
    Delivery: ("song",),
    DeliveryEvent: ("recipient",),
    DeliveryLink: ("recipient",),
    Allocation: ("payment",),
    Payment: ("reverses",),
    Rebuild: ("song", "imported"),
    HeadphoneLine: ("chain",),
    Chain: ("source",),
    Revision: ("chain",),
    Stage: ("unit",),
    Part: ("song",),
    CompChoice: ("section", "line", "take"),
    CompGrade: ("section", "line"),
    Take: ("song",),
    TakePart: ("part", "take"),
    Agreement: ("client", "project"),
    Rate: ("room", "person", "unit", "gear_model"),
    PasswordLink: ("user",),
}
#: Where the words of a row would not do.
CALLED: dict[type[Model], Callable[[Model], str]] = {
    Delivery: lambda delivery: f"delivery of “{delivery.song}”",
    Placement: lambda placement: "",
    HouseRules: lambda rules: "",
    FeedAddress: lambda feed: f"of {feed.of}",
    DeliveryLink: lambda link: f"of {link.recipient}",
    Take: lambda take: f"{take} of “{take.song}”",
    RebuildStep: lambda step: f"chain {step.chain_number}, unit {step.position}",
    # Of one series, of one name: told apart by their day.
    RecordingSession: lambda session: f"{session}, {date_format(localdate(session.starts_at))}",
    Series: lambda series: Rule.parse(series.rule).in_words.lower(),
    Deliverable: lambda deliverable: f"{deliverable} of “{deliverable.song}”",
    LyricLine: lambda line: f"“{line.text}”",
    Erasure: lambda erasure: "names and addresses replaced",
    HeadphoneLine: lambda line: line.heard,
}


#: What one of them and several are called, where the words of the model would not do.
_KINDS = {
    Stage: ("unit", "units in chains"),
    Measurement: ("", "measurements"),
    CreditedOn: ("credited on", "songs and parts credited on"),
    FeedAddress: ("calendar feed", "calendar feeds"),
    User: ("sign-in", "sign-ins"),
    Erasure: ("personal data:", "erasures of personal data"),
    Delivery: ("", "deliveries"),
    RecordingSession: ("session", "sessions"),
    Bay: ("", "patch bays"),
    Panel: ("", "panels"),
    Revision: ("", "revisions of chains"),
    MixRevision: ("", "revisions of mix setups"),
    MixNote: ("", "notes on mixes"),
    Rebuild: ("", "rebuilds"),
    Take: ("", "takes"),
    TakePart: ("", "parts of takes"),
    Attendance: ("", "in and out of musicians"),
    AttendanceBreak: ("break", "breaks of musicians"),
    Release: ("", "releases"),
    Agreement: ("", "agreed rates and terms"),
    Tick: ("ticked", "ticks of rebuilds"),
    RebuildStep: ("", "units of rebuilds"),
    MoneyPaper: ("", "quotes and work orders"),
    Invoice: ("", "invoices and credit notes"),
    Payment: ("", "payments and refunds"),
}


def kind_of(model: type[Model]) -> str:
    return _KINDS[model][0] if model in _KINDS else str(model._meta.verbose_name)


def kinds_of(model: type[Model]) -> str:
    return _KINDS[model][1] if model in _KINDS else str(model._meta.verbose_name_plural)


def spoken(key: str) -> str:
    """Of a control that is on no panel any more."""
    return key.replace("-", " ").replace("_", " ")


class Names:
    """Say first what will be asked for, of all rows at once; then `load`, then ask."""

    def __init__(self):
        self._wanted: dict[type[Model], set[int]] = defaultdict(set)
        self._found: dict[type[Model], dict[int, Model]] = defaultdict(dict)
        self._gone: dict[type[Model], set[int]] = defaultdict(set)
        self._panels: set[int] = set()
        self._controls: dict[int, dict[str, Control]] = defaultdict(dict)

    def want(self, model: type[Model], keys: Iterable[int | None]) -> None:
        self._wanted[model] |= {*keys} - {None}

    def want_words_of(self, row: Model) -> None:
        """Those of a row of which only its own facts are at hand."""
        for field in _read_by(type(row)):
            self.want(field.related_model, [getattr(row, field.attname)])

    def want_controls(self, panel: int | None) -> None:
        self._panels |= {panel} - {None}

    def load(self) -> None:
        while wanted := {
            m: k for m, keys in self._wanted.items() if (k := keys - {*self._found[m]})
        }:
            self._wanted = defaultdict(set)
            for model, keys in wanted.items():
                self._load(model, keys)
        for control in Control.objects.filter(panel__in=self._panels).order_by("position"):
            self._controls[control.panel_id][control.key] = control

    def _load(self, model: type[Model], keys: set[int]) -> None:
        found = model._base_manager.in_bulk(keys)
        if (gone := keys - {*found}) and hasattr(model, "history"):
            last = model.history.model._base_manager.filter(id__in=gone).order_by("history_id")
            found |= {entry.id: entry.instance for entry in last}
        self._gone[model] |= gone
        self._found[model] |= dict.fromkeys(keys) | found
        for row in found.values():
            self.want_words_of(row)
            if model is RebuildStep:
                self.want_controls(row.panel_id)

    def is_there(self, model: type[Model], key: int | None) -> bool:
        return self._found[model].get(key) is not None and key not in self._gone[model]

    def of(self, model: type[Model], key: int | None) -> str:
        """Empty for no row."""
        if key is None:
            return ""
        row = self._found[model].get(key)
        return self.words_of(row) if row is not None else f"{kind_of(model)} that is no more"

    def words_of(self, row: Model) -> str:
        self._complete(row)
        model = type(row)
        if model is Tick:
            control = self.ticked(row.step_id, row.key)
            return control.label if control else spoken(row.key)
        try:
            return CALLED[model](row) if model in CALLED else str(row)
        except (ObjectDoesNotExist, AttributeError):  # it reads what is no more
            return ""

    def _complete(self, row: Model) -> None:
        for field in _read_by(type(row)):
            other = self._found[field.related_model].get(getattr(row, field.attname))
            if not field.is_cached(row) and (other is not None or field.null):
                if other is not None:
                    self._complete(other)
                setattr(row, field.name, other)

    def ticked(self, step: int, key: str) -> Control | None:
        """The control of that key on the panel of a step; None for what is on no panel."""
        row = self._found[RebuildStep].get(step)
        return self.controls_of(row.panel_id).get(key) if row else None

    def controls_of(self, panel: int | None) -> dict[str, Control]:
        return self._controls[panel] if panel else {}


def _read_by(model: type[Model]) -> list[Field]:
    return [model._meta.get_field(name) for name in READS.get(model, ())]
