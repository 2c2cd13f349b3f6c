"""Where a name or an address may stand: every text of every model, but for what is named here, each
with its reason."""

from django.apps import apps
from django.db.models import CharField, Field, FileField, JSONField, Model, TextField

#: What the studio has to keep as it was issued or signed, in words that follow "kept: ".
KEPT = {
    "studio_sessions.moneypaper": "quotes, work orders and charges as they were issued",
    "studio_sessions.invoice": "invoices and credit notes as they were issued",
    "studio_sessions.invoiceline": "lines of invoices",
    "studio_sessions.payment": "payments as they were entered",
    "studio_sessions.overtime": "approved overtime",
    "studio_sessions.signature": "signatures, with the words that were signed",
    "studio_sessions.handover": "receipts for media that were given out",
}
#: What says who the house itself is.
OF_THE_HOUSE = {"studio_sessions.studio", "studio_sessions.houserules", "studio.backup"}
#: What is made of other rows, or forgotten by itself: deleted, or made anew.
DELETED = {
    "studio_sessions.searchtext",
    "studio_sessions.storedpaper",
    "axes.accessattempt",
    "axes.accessfailurelog",
    "axes.accesslog",
}
#: Where a file lies, which would not be found under another name.
PLACES = {"studio_sessions.takefile": {"path", "folder"}}
#: Of Django's and of libraries: code, not people.
OF_THE_PROGRAM = {"auth", "contenttypes", "sessions"}


def walked_models() -> list[type[Model]]:
    """Those whose texts are looked through, histories among them, by table."""
    found = [model for model in apps.get_models(include_auto_created=True) if walked(model)]
    return sorted(found, key=lambda model: model._meta.db_table)


def kept_models() -> list[type[Model]]:
    return [model for model in apps.get_models() if _label(model) in KEPT]


def walked(model: type[Model]) -> list[Field]:
    """The fields of the model that are looked through."""
    label = _label(model)
    left = KEPT.keys() | OF_THE_HOUSE | DELETED
    if label in left or model._meta.app_label in OF_THE_PROGRAM:
        return []
    return [each for each in texts_of(model) if each.name not in PLACES.get(label, set())]


def texts_of(model: type[Model]) -> list[Field]:
    """All fields that hold free text, or JSON with texts; none that names a stored file, of which a
    history keeps the name as text."""
    of = getattr(model, "instance_type", model)
    files = {each.name for each in of._meta.local_fields if isinstance(each, FileField)}
    return [
        field
        for field in model._meta.local_fields
        if isinstance(field, CharField | TextField | JSONField)
        and field.name not in files
        and not field.choices
        and not field.primary_key
    ]


def _label(model: type[Model]) -> str:
    """Of a history, the model that it is of."""
    return getattr(model, "instance_type", model)._meta.label_lower
