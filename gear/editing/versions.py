"""Two people editing one thing: the second gets both versions, nothing is overwritten unseen."""

from django.db import models, transaction
from django.forms import BaseForm, BoundField, DateTimeField, ModelForm
from django.utils.choices import flatten_choices

from gear.asked import whole_number


class EditedMeanwhile(Exception):
    """Somebody saved the object after this editor opened it. `current` is what is saved now."""

    def __init__(self, current: models.Model):
        self.current = current
        super().__init__(f"{current} was changed by somebody else while you were editing it.")


def claim_version(thing: models.Model, version: int) -> None:
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


def newest_change(thing: models.Model) -> str:
    """Which entry of its history shows `thing` as it is now; its form remembers that while open."""
    return str(thing.history.values_list("history_id", flat=True).first())


@transaction.atomic
def save_unless_changed(form: ModelForm, *, seen: str) -> models.Model:
    """Save a valid form of something that keeps a history but counts no versions.

    `seen` is the `newest_change` at the time the form was opened. Raises EditedMeanwhile when
    another change came first.
    """
    current = type(form.instance).objects.select_for_update().get(pk=form.instance.pk)
    if newest_change(current) != seen:
        raise EditedMeanwhile(current)
    return form.save()


def both_versions(form: ModelForm, current: models.Model) -> list[tuple[str, str, str]]:
    """Where what was typed differs from what is saved now: label, saved, typed."""
    return differences(form, type(form)(instance=current))


def differences(form: BaseForm, saved: BaseForm) -> list[tuple[str, str, str]]:
    """The same for any form, against one that is filled with what is saved."""
    rows = [
        (form[name].label, _shown(saved[name]), _shown(form[name]))
        for name in form.fields
        if name in saved.fields  # what the page asks only of this edit has no saved version
    ]
    return [row for row in rows if row[1] != row[2]]


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
