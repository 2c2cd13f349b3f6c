"""Two people editing one thing: the second gets both versions, nothing is overwritten unseen."""

from django.db import models
from django.forms import BaseForm, BoundField, DateTimeField, FileField
from django.utils.choices import flatten_choices

from gear.asked import whole_number
from gear.editing.history import History


class Counted(models.Model):
    """Something that people edit by a form.

    The form sends the version that its editor saw, and whatever saves it claims that version. What
    no form shows, such as when somebody signed in last, is saved without and disturbs no editor.
    """

    version = models.PositiveIntegerField(
        default=1, editable=False, help_text="Counts the edits, so that two editors notice."
    )

    class Meta:
        abstract = True


class Versioned(Counted):
    """And whose edits are all kept in its history."""

    history = History(inherit=True)

    class Meta:
        abstract = True


class EditedMeanwhile(Exception):
    """Somebody saved the object after this editor opened it. `current` is what is saved now."""

    def __init__(self, current: Versioned):
        self.current = current
        super().__init__(f"{current} was changed by somebody else while you were editing it.")


def claim_version(thing: Versioned, version: int) -> None:
    """Count one edit of `thing`, which must still be at the version that its editor saw.

    Call inside the transaction that makes the change. Raises EditedMeanwhile when another edit
    came first. One UPDATE decides, so two editors cannot both win.
    """
    model = type(thing)
    claimed = model.objects.filter(pk=thing.pk, version=version).update(
        version=models.F("version") + 1
    )
    if not claimed:
        raise EditedMeanwhile(model.objects.get(pk=thing.pk))
    thing.version = version + 1


def version_in(seen: str) -> int:
    """The version that a form remembers having seen; 0, at which nothing ever is, if it is none."""
    return whole_number(seen) or 0


def differences(form: BaseForm, saved: BaseForm | None) -> list[tuple[str, str, str]]:
    """Where what was typed differs from a form of what is saved now: label, saved, typed; no files.

    Without `saved` the thing was taken out meanwhile.
    """
    return [
        (str(field.label), _shown(saved[field.name]) if saved else "removed", _shown(field))
        for field in form.visible_fields()
        if not isinstance(field.field, FileField) and (saved is None or _differs(field, saved))
    ]


def _differs(field: BoundField, saved: BaseForm) -> bool:
    """What the page asks only of this edit has no saved version."""
    if field.name not in saved.fields:
        return False
    now = saved[field.name]
    return _shown(now) != _shown(field) and field.field.has_changed(now.initial, field.data)


def _shown(field: BoundField) -> str:
    """A field's value in the words of the page; the labels of what is chosen."""
    value = field.value()
    if hasattr(field.field, "choices"):
        chosen = value if isinstance(value, list) else [value]
        keys = {"" if key is None else str(getattr(key, "pk", key)) for key in chosen}
        offered = flatten_choices(field.field.choices)
        return ", ".join(str(label) for key, label in offered if str(key) in keys)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(field.field, DateTimeField):
        return str(field.field.widget.format_value(value) or "").replace("T", " ")
    return "" if value is None else str(value).replace("\r\n", "\n")
