"""A manager sets up the second factor that the house asks for, and comes in by it. The QR code is read
by another library than the one that drew it (zxing-cpp; ISO/IEC 18004)."""

from io import BytesIO
from urllib.parse import parse_qs, urlsplit

import pytest
import zxingcpp
from django_otp.oath import TOTP
from django_otp.plugins.otp_totp.models import TOTPDevice
from PIL import Image

from sessions.rooms.models import HouseRules
from studio.models import User
from tests.browser.browsing import sign_in
from tests.factories import PASSWORD

pytestmark = pytest.mark.browser


def code_of(app, step: int = 0) -> str:
    return f"{TOTP(app.bin_key, drift=step).token():06}"


def come_as_far_as_the_code(page) -> None:
    page.goto("/sign-in/")
    page.get_by_label("Username").fill("odile")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/sign-in/code/")


def test_second_factor_is_set_up_and_asked_for(new_page, manager):
    from studio.signing_in import second_factor

    page = new_page(color_scheme="dark")  # the code must be dark on light all the same
    sign_in(page, "odile", PASSWORD)
    rules = HouseRules.current()
    rules.second_factor_for_managers = True
    rules.save()

    page.goto("/songs/")
    page.wait_for_url("**/second-factor/")
    page.get_by_label("Your password").fill(PASSWORD)
    page.get_by_role("button", name="Set up").click()
    [read] = zxingcpp.read_barcodes(Image.open(BytesIO(page.locator(".qr-code").screenshot())))
    app = TOTPDevice.objects.get(user=manager, confirmed=False)
    page.get_by_label("Code").fill(code_of(app, -1))
    page.get_by_label("Code").press("Enter")
    page.get_by_text("Your recovery codes").wait_for()
    codes = page.locator(".recovery-codes li").all_inner_texts()
    page.get_by_role("link", name="I have them").click()
    page.wait_for_url("**/songs/")

    address = urlsplit(read.text)
    facts = {name: values[0] for name, values in parse_qs(address.query).items()}
    assert (address.scheme, address.netloc, address.path) == ("otpauth", "totp", "/odile")
    assert facts["secret"] == second_factor.secret_of(app).replace(" ", "")
    assert len(codes) == 10
    assert User.objects.get(username="odile").second_factor_since

    by_app, by_recovery = new_page(), new_page()
    come_as_far_as_the_code(by_app)
    by_app.get_by_label("Code").fill(code_of(app))
    by_app.get_by_role("button", name="Sign in").click()
    by_app.wait_for_url("**/")
    come_as_far_as_the_code(by_recovery)
    by_recovery.get_by_label("Code").fill("000000")
    by_recovery.get_by_role("button", name="Sign in").click()
    by_recovery.get_by_text("This code is wrong").first.wait_for()
    by_recovery.get_by_label("Code").fill(codes[3].upper())
    by_recovery.get_by_role("button", name="Sign in").click()
    by_recovery.get_by_role("heading", name="Today").wait_for()
