"""What encrypts a person's presses while they wait on a device (`press_store.js`)."""

from base64 import b64encode

from django.utils.crypto import salted_hmac


def device_key(user) -> str:
    """32 bytes, in base64: always the same for a person, so that what was pressed before a sign-out
    can be sent after the next sign-in, and no one else's."""
    return b64encode(
        salted_hmac("studio.presses", str(user.pk), algorithm="sha256").digest()
    ).decode()
