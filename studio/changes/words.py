"""What was changed, from what to what, in the words of the pages and by the studio’s clock."""

from collections.abc import Iterator
from datetime import date, datetime, time
from decimal import Decimal
from itertools import takewhile

from django.db.models import (
    BinaryField,
    DecimalField,
    Field,
    FileField,
    FloatField,
    IntegerField,
    JSONField,
    Model,
    SlugField,
)
from django.utils.formats import date_format
from django.utils.text import capfirst

from gear.audio.dial import Mark
from gear.audio.marks import marks_to_text
from gear.audio.numbers import MINUS
from gear.audio.values import number_text, setting_text
from gear.editing.units import SHORT
from gear.panels.models import Control
from sessions.bookings.models import ORDINALS, Reservation
from sessions.clients.models import Project
from sessions.clients.orders import Container, DeliverableKind, Order
from sessions.deliverables.listening.models import MixNote, time_in_words
from sessions.deliveries.models import Delivery, Paper
from sessions.periods import moment_in_words
from sessions.recall.models import Tick
from sessions.setups.models import Photo
from sessions.songs.models import Song
from sessions.songs.tempo import tempo_text
from sessions.takes.models import TakeFile
from studio.changes.names import Names, spoken
from studio.models import User

LONGEST = 120  # characters of a text; of a longer one, what differs
AROUND = 3  # words that are left standing around that
MOST_FACTS = 8  # of a row that is new
EMPTY, ARROW = "empty", "→"
SETTINGS, COPIED = "settings", "not_yet_set"
UNITS = SHORT | {
    "degrees": "°",
    "db": "dB",
    "dbu": "dBu",
    "dbfs": "dBFS",
    "dbtp": "dBTP",
    "lufs": "LUFS",
    "lu": "LU",
    "cm": "cm",
    "hz": "Hz",
    "seconds": "s",
}
MONEY = ("amount", "total", "net", "tax")
#: What a machine keeps for itself, or what another field says.
UNTOLD = frozenset(
    {
        "batch",
        "file",
        "frames",
        "time_reference",
        "size_bytes",
        "sha256",
        "shown",
        "bext",
        "ixml",
        "width",
        "height",
        "html",
        "password",
    }
)
#: Told although no form shows it.
TOLD = frozenset({COPIED, "fixed_at", "struck_at", "lapsed_at"})


def told(field: Field) -> bool:
    """A slug is how programs call something."""
    is_for_people = field.name not in UNTOLD and not isinstance(field, SlugField)
    return is_for_people and (field.editable or field.name in TOLD)


def changed(entry: Model, before: Model, hidden: frozenset[str]) -> list[Field]:
    """The fields in which two entries of a history differ, as far as they are told."""
    return [
        field
        for field in entry.tracked_fields
        if told(field)
        and field.name not in hidden
        and getattr(entry, field.attname) != getattr(before, field.attname)
    ]


def given(entry: Model, hidden: frozenset[str], owner: Field | None) -> list[Field]:
    """The fields that say something of a row that is new: neither empty nor as they would be anyway, nor
    the key of its `owner`."""
    return [
        field
        for field in entry.tracked_fields
        if told(field)
        and not (
            field.related_model is User and getattr(entry, field.attname) == entry.history_user_id
        )
        and not (field.primary_key or field == owner or field.name in ("position", *hidden))
        and getattr(entry, field.attname) not in ("", None, [], {}, False)
        and getattr(entry, field.attname) != field.get_default()
    ]


def label_of(field: Field) -> str:
    return capfirst(_label_and_unit(field)[0])


def _label_and_unit(field: Field) -> tuple[str, str]:
    """“distance, cm”, and what is named for its column: “fader db”, or “seconds” alone for a place."""
    name = str(field.verbose_name)
    if not _is_figure(field):
        return name, ""
    label, comma, unit = name.partition(", ")
    if not comma and name.rpartition(" ")[2] in UNITS:
        label, _, unit = name.rpartition(" ")
    return label or "at", UNITS.get(unit, unit)


def from_to(entry: Model, before: Model | None, field: Field, names: Names) -> Iterator[str]:
    """Sentences without a verb: “Key: D minor → E minor”; several for the controls of a panel."""
    if field.name == SETTINGS:
        yield from _settings(entry, before, names)
        return
    new = in_words(entry, field, names)
    if before is None:
        yield f"{label_of(field)}: {_shortened(new)}" if new else label_of(field)
        return
    old = in_words(before, field, names)
    if old == new:  # of what has no words
        yield label_of(field)
    else:
        old, new = _what_differs(old, new)
        yield f"{label_of(field)}: {old or EMPTY} {ARROW} {new or EMPTY}"


def linked(label: str, old: set[str], new: set[str]) -> str:
    """Of a field that names several."""
    before, after = (", ".join(sorted(each)) or EMPTY for each in (old, new))
    return f"{label}: {before} {ARROW} {after}"


def in_words(entry: Model, field: Field, names: Names) -> str:
    value = getattr(entry, field.attname)
    if value is None or value == "":
        return WITHOUT.get((field.model, field.name), "")
    if field.is_relation:
        return names.of(field.related_model, value)
    if field.name == COPIED:
        controls = names.controls_of(entry.panel_id)
        return ", ".join(controls[key].label if key in controls else spoken(key) for key in value)
    if field.model is Tick:
        return _setting(names.ticked(entry.step_id, entry.key), value)
    if words := WORDS.get((field.model, field.name)):
        return words(entry, value)
    if field.choices:
        return str(getattr(entry, f"get_{field.name}_display")())
    if isinstance(field, (BinaryField, JSONField)):
        return ""
    if isinstance(field, FileField):
        return str(value).rpartition("/")[2]
    return _plain(field, value)


def _plain(field: Field, value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return moment_in_words(value)
    if isinstance(value, date):
        return date_format(value, "DATE_FORMAT")
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if field.name == "sample_rate":
        return f"{value / 1000:g} kHz"
    if isinstance(value, Decimal) and field.name in MONEY:
        return f"{value:f}".replace("-", MINUS)
    if _is_figure(field):
        return number_text(value, _label_and_unit(field)[1])
    return ", ".join(str(value).splitlines())


def _is_figure(field: Field) -> bool:
    is_number = isinstance(field, (DecimalField, FloatField, IntegerField))
    return is_number and not field.choices


def _settings(entry, before, names) -> Iterator[str]:
    """Control by control, in the order of the panel."""
    new, controls = entry.settings, names.controls_of(entry.panel_id)
    old, old_controls = ({}, {})
    if before is not None:
        old, old_controls = before.settings, names.controls_of(before.panel_id)
    for key in sorted({*old, *new}, key=lambda key: [*controls, *old_controls, key].index(key)):
        if old.get(key) == new.get(key):
            continue
        control = controls.get(key) or old_controls.get(key)
        label = control.label if control else spoken(key)
        after = _setting(controls.get(key), new.get(key))
        if before is None:
            yield f"{label}: {after}"
        else:
            was = _setting(old_controls.get(key), old.get(key))
            yield f"{label}: {was or 'not logged'} {ARROW} {after or 'not logged'}"


def _setting(control: Control | None, value) -> str:
    if value is None:
        return ""
    try:
        return setting_text(value, control.dial(), control.unit)
    except (AttributeError, ValueError, TypeError):  # a panel that is no more, or was never whole
        return str(value)


def _rank(entry, rank: int) -> str:
    if rank == 1:
        return "has the time"
    return f"{ORDINALS[rank - 1]} hold" if rank <= len(ORDINALS) else f"{rank}th hold"


def _rules(entry, rules: dict) -> str:
    order = Order.read(rules)
    said = [", ".join(DeliverableKind(kind).label for kind in order.kinds)]
    if order.sample_rate:
        said.append(f"{order.sample_rate / 1000:g} kHz")
    if order.bit_depth:
        said.append(f"{order.bit_depth} bit")
    said.append(" or ".join(Container(each).label for each in order.containers))
    if order.true_peak_ceiling_dbtp is not None:
        ceiling = f"{order.true_peak_ceiling_dbtp:.1f}".replace("-", MINUS)
        said.append(f"true peak up to {ceiling} dBTP")
    if order.stems:
        said.append(f"stems {', '.join(order.stems)}")
    return "; ".join(filter(None, [*said, *order.set_rules]))


def _marks(entry, marks: list) -> str:
    made = [Mark(mark["value"], mark["angle"], mark.get("label", "")) for mark in marks]
    return marks_to_text(made, entry.kind, entry.unit)


WITHOUT = {(Reservation, "rank"): "reserves nothing"}
WORDS = {
    (Reservation, "rank"): _rank,
    (Song, "tempo_map"): lambda entry, value: tempo_text(value),
    (Project, "delivery_rules"): _rules,
    (Control, "marks"): _marks,
    (MixNote, "seconds"): lambda entry, seconds: time_in_words(seconds),
    (Photo, "reads"): lambda entry, keys: ", ".join(map(spoken, keys)),
    (TakeFile, "problems"): lambda entry, problems: " ".join(problems),
    (Delivery, "papers"): lambda entry, papers: ", ".join(Paper(each).label for each in papers),
}


def _shortened(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[:LONGEST].rsplit(None, 1)[0]} …"


def _what_differs(old: str, new: str) -> tuple[str, str]:
    """Both where they are short, else the words that differ with some of those around them."""
    if max(len(old), len(new)) <= LONGEST:
        return old, new
    before, after = old.split(), new.split()
    front = _alike(before, after)
    rest = min(len(before), len(after)) - front
    back = min(_alike(before[::-1], after[::-1]), rest)
    return _middle(before, front, back), _middle(after, front, back)


def _alike(one: list[str], other: list[str]) -> int:
    return len([*takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False))])


def _middle(words: list[str], front: int, back: int) -> str:
    start, end = max(front - AROUND, 0), len(words) - max(back - AROUND, 0)
    said = _shortened(" ".join(words[start:end]))
    return f"{'… ' if start else ''}{said}{' …' if end < len(words) else ''}"
