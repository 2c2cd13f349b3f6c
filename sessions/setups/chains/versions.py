"""Two people's versions of one thing, side by side."""

from dataclasses import dataclass
from datetime import datetime

from django import forms

from sessions.setups.models import Placement, Revision, Stage


@dataclass(frozen=True)
class Row:
    """One fact in both versions, as words."""

    label: str
    saved: str
    typed: str
    differs: bool


def side_by_side(saved: forms.BaseForm | None, typed: forms.BaseForm) -> list[Row]:
    """Every field of a valid form beside what is saved now (a form of that, unbound); no files.

    Without `saved` the thing was taken out meanwhile.
    """
    rows = []
    for bound in typed.visible_fields():
        name, field = bound.name, bound.field
        if isinstance(field, forms.FileField):
            continue
        mine = _words(field, typed.cleaned_data.get(name))
        if saved is None:
            rows.append(Row(str(bound.label), "taken out", mine, differs=True))
        elif name in saved.fields:
            now = saved.get_initial_for_field(saved.fields[name], name)
            differs = field.has_changed(now, bound.data)
            rows.append(Row(str(bound.label), _words(field, now), mine, differs))
    return rows


def _words(field: forms.Field, value) -> str:
    prepared = field.prepare_value(value)
    if isinstance(prepared, bool):
        return "yes" if prepared else "no"
    if prepared in (None, ""):
        return "empty"
    if hasattr(field, "choices"):
        return _choice_words(field, prepared)
    return str(prepared)


def _choice_words(field: forms.Field, chosen) -> str:
    for key, label in field.choices:
        options = label if isinstance(label, list | tuple) else [(key, label)]
        for value, words in options:
            if str(value) == str(chosen):
                return str(words)
    return str(chosen)


@dataclass(frozen=True)
class LastEdit:
    who: str
    when: datetime


def last_edit(revision: Revision) -> LastEdit | None:
    """Who last changed a stage or the placement of the revision, and when."""
    entries = [
        model.history.filter(revision=revision).select_related("history_user").first()
        for model in (Stage, Placement)
    ]
    made = [entry for entry in entries if entry]
    if not made:
        return None
    latest = max(made, key=lambda entry: entry.history_date)
    return LastEdit(str(latest.history_user or "somebody"), latest.history_date)
