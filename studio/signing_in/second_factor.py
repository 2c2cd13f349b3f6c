"""The second factor: codes of an authenticator app (RFC 6238), and recovery codes for the day on which
it is lost. Secrets, codes and their arithmetic are django-otp's."""

import re
from base64 import b32encode
from datetime import datetime, timedelta
from hashlib import sha256
from secrets import token_bytes
from urllib.parse import quote

import django_otp
from django.core.exceptions import ValidationError
from django.utils import timezone
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from gear.acting import action
from sessions.rooms.models import Studio
from studio.models import User

RECOVERY_CODES = 10
SET_UP_WITHIN = timedelta(minutes=15)  # common practice, no source
CODE_BYTES = 10  # 16 letters and digits; NIST SP 800-63B, 5.1.2.2, asks for 20 bits at least
WRONG = (
    "This code is wrong, or was used already. Wait for the next one; the clock of the telephone must be "
    "right."
)


def app_of(user: User) -> TOTPDevice | None:
    """The authenticator app whose codes are asked for."""
    return TOTPDevice.objects.devices_for_user(user, confirmed=True).first()


def being_set_up(user: User, key: int | None, now: datetime) -> TOTPDevice | None:
    """The app of that key, begun not long ago: whoever finds the page later is not shown its secret."""
    apps = TOTPDevice.objects.devices_for_user(user, confirmed=False)
    return apps.filter(pk=key, created_at__range=(now - SET_UP_WITHIN, now)).first()


def codes_left(user: User) -> int:
    return StaticToken.objects.filter(device__user=user).count()


def address_of(app: TOTPDevice) -> str:
    """What the QR code holds."""
    return f"{app.config_url}&issuer={quote(Studio.current().name)}"


def secret_of(app: TOTPDevice) -> str:
    """As it is typed where no camera reads the QR code: base 32 (RFC 4648), in fours."""
    return in_fours(b32encode(app.bin_key).decode())


@action
def begin(user: User, *, by) -> TOTPDevice:
    """A new secret, whose codes count once one of them was typed: until then nothing changes."""
    TOTPDevice.objects.devices_for_user(user, confirmed=False).delete()
    return TOTPDevice.objects.create(user=user, name="Authenticator app", confirmed=False)


@action
def confirm(app: TOTPDevice, *, code: str, by) -> list[str] | None:
    """From now on its codes are asked for at the sign-in, in place of those of an app before it.
    Gives the recovery codes that go with it, which nobody can read again; None for a wrong code."""
    if not django_otp.verify_token(app.user, app.persistent_id, code.replace(" ", "")):
        return None
    apps = TOTPDevice.objects.devices_for_user(app.user)
    apps.exclude(pk=app.pk).delete()
    apps.filter(pk=app.pk).update(confirmed=True)
    _note(app.user, since=timezone.now(), why="Second factor set up")
    return _new_codes(app.user)


@action
def cancel(user: User, *, by) -> None:
    """What was begun is not gone on with."""
    TOTPDevice.objects.devices_for_user(user, confirmed=False).delete()


@action
def renew_codes(user: User, *, by) -> list[str]:
    """Others in place of those before. Raises ValidationError without a second factor."""
    if app_of(user) is None:
        raise ValidationError("Set up the second factor first.")
    return _new_codes(user)


@action
def remove(user: User, *, why: str = "Second factor removed", by) -> bool:
    """The password alone is enough from now on; whether it was not before."""
    removed, _ = TOTPDevice.objects.devices_for_user(user).delete()
    StaticDevice.objects.devices_for_user(user).delete()
    asked = bool(removed) or user.second_factor_since is not None
    if asked:
        _note(user, since=None, why=why)
    return asked


def takes(user: User, code: str) -> bool:
    """Whether the code is the app's of this moment, or a recovery code; neither is taken twice."""
    if re.fullmatch(r"\d{6}", digits := code.replace(" ", "")):
        app = app_of(user)
        return bool(app and django_otp.verify_token(user, app.persistent_id, digits))
    codes = StaticDevice.objects.devices_for_user(user).first()
    hashed = codes and _hash_of(codes, code)
    return bool(codes and django_otp.verify_token(user, codes.persistent_id, hashed))


def _new_codes(user: User) -> list[str]:
    StaticDevice.objects.devices_for_user(user).delete()
    device = StaticDevice.objects.create(user=user, name="Recovery codes")
    codes = [b32encode(token_bytes(CODE_BYTES)).decode().lower() for _ in range(RECOVERY_CODES)]
    StaticToken.objects.bulk_create(
        StaticToken(device=device, token=_hash_of(device, code)) for code in codes
    )
    return [in_fours(code) for code in codes]


def _hash_of(device: StaticDevice, code: str) -> str:
    """What is stored in place of a recovery code, as long as the library has room for: what is random
    over 80 bits needs no slow hash."""
    plain = re.sub(r"[^a-z2-7]", "", code.lower())
    return b32encode(sha256(f"{device.pk} {plain}".encode()).digest()[:CODE_BYTES]).decode()


def in_fours(text: str) -> str:
    return " ".join(text[place : place + 4] for place in range(0, len(text), 4))


def _note(user: User, *, since, why: str) -> None:
    saved = User.objects.select_for_update(no_key=True).get(pk=user.pk)
    saved.second_factor_since = user.second_factor_since = since
    saved._change_reason = why
    saved.save(update_fields=["second_factor_since"])
