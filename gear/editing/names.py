from django.core.exceptions import ValidationError
from django.db.models import Manager
from django.forms import ModelForm


def named_once(form: ModelForm, field: str, *, among: Manager, of: object) -> str:
    """The name that was typed, for a form's `clean_<field>`. Raises ValidationError where another
    of those things of `of` has it."""
    name, thing = form.cleaned_data[field], form.instance
    if among.exclude(pk=thing.pk).filter(**{field: name}).exists():
        kind = thing._meta.verbose_name
        raise ValidationError(f"{of} has a {kind} “{name}” already: choose another {field}.")
    return name
