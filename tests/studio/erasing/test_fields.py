"""Where names and addresses stand by themselves, so that a new field is thought of."""

import re

from django.apps import apps
from django.db.models import EmailField

from studio.erasing.fields import texts_of, walked

SAYS_WHO = re.compile(
    r"name|mail|phone|address|said_by|signed_by|behalf|sender|credited_as|writers|artist|holder|^to$"
)
#: Replaced, by themselves or as words in what else they say.
REPLACED = """
    ApprovedRecipient.email ApprovedRecipient.name Bay.name CancellationTerms.name ChainGroup.name
    Client.address Client.email Client.name Client.phone Credit.credited_as DeliverableFile.original_name
    DeliveryEvent.said_by DeliveryRecipient.email DeliveryRecipient.name GearModel.name GearSet.name
    HeadphoneMix.name ImportedSheet.file_name IncomingMaterial.sender Letter.sender Letter.to
    LetterFile.name Medium.name MixNote.said_by Measurement.original_name MixSend.to MixSetup.name MixStrip.name NullTest.names Part.name
    Person.credited_as Person.email Person.name Person.phone Project.artist
    Project.name RateCard.name RateCard.tax_name Room.name Section.name Setup.name Song.writers Source.name
    StaticDevice.name TOTPDevice.name Told.address
    Upload.original_name User.email User.first_name User.last_name User.username Verdict.said_by
    Worker.name WorkstationFile.name
"""
#: Not looked through; the reasons stand in `studio/erasing/fields.py`.
LEFT = """
    AccessAttempt.username AccessFailureLog.username AccessLog.username Handover.on_behalf_of
    Handover.signed_by HouseRules.tax_name InvoiceLine.tax_name Signature.name Signature.on_behalf_of
    StoredPaper.address Studio.address Studio.email Studio.name Studio.phone Studio.sender
"""
OF_DJANGO = {"auth", "contenttypes", "sessions", "django_tasks_database"}


def those_that_say_who():
    for model in apps.get_models():
        if hasattr(model, "instance_type") or model._meta.app_label in OF_DJANGO:
            continue
        for field in texts_of(model):
            if isinstance(field, EmailField) or SAYS_WHO.search(field.name):
                yield f"{model.__name__}.{field.name}", field in walked(model)


def test_every_name_and_address_is_replaced_or_left_for_a_reason():
    found = dict(those_that_say_who())

    assert {name for name, is_walked in found.items() if is_walked} == set(REPLACED.split())
    assert {name for name, is_walked in found.items() if not is_walked} == set(LEFT.split())


def test_history_is_looked_through_as_what_it_is_of():
    for model in apps.get_models():
        if hasattr(model, "history_type"):
            of = {field.name for field in walked(model.instance_type)}
            kept = {field.name for field in model.tracked_fields}
            assert {field.name for field in walked(model)} - {"history_change_reason"} == of & kept
