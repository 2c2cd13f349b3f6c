"""The second step of the sign-in. Outside: RFC 4226, appendix D and RFC 6238, appendix B (values) and
section 5.2 (no code twice); OWASP Multifactor Authentication Cheat Sheet (asked for once more before it
changes, told by e-mail, other ways in don't go round it); NIST SP 800-63B, 5.1.2 (each look-up secret
once, stored hashed)."""

from datetime import UTC, datetime
from urllib.parse import parse_qs, unquote, urlsplit

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from django_otp.oath import hotp
from django_otp.plugins.otp_static.models import StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice
from pytest_django.asserts import assertContains, assertNotContains, assertRedirects

from sessions.letters.models import Letter
from sessions.links.models import WRONG_GUESSES, WrongGuess
from sessions.rooms.models import HouseRules
from studio.models import User
from studio.signing_in import second_factor
from tests.factories import PASSWORD
from tests.studio.joining.test_invitations import link_in
from tests.studio.signing_in.conftest import code_of

pytestmark = pytest.mark.django_db

RFC_SECRET = b"12345678901234567890"
STEP_TWO, PAGE = reverse("sign_in_code"), reverse("second_factor")


def is_signed_in(web) -> bool:
    return web.get(PAGE).status_code == 200


@pytest.fixture
def asked():
    rules = HouseRules.current()
    rules.second_factor_for_managers = True
    rules.save()


def test_codes_are_those_of_rfc_4226():
    """Appendix D."""
    codes = "755224 287082 359152 969429 338314 254676 287922 162583 399871 520489"

    assert [f"{hotp(RFC_SECRET, count):06}" for count in range(10)] == codes.split()


@pytest.mark.parametrize(
    ("seconds", "code"),
    [(1111111109, "07081804"), (1111111111, "14050471"), (2000000000, "69279037")],
)
def test_codes_of_rfc_6238_are_taken(engineer, seconds, code):
    """Appendix B, SHA-1; ours are their last six digits."""
    app = TOTPDevice.objects.create(user=engineer, name="RFC", key=RFC_SECRET.hex(), digits=8)
    with time_machine.travel(datetime.fromtimestamp(seconds, UTC), tick=False):
        assert app.verify_token(code)
        app.digits, app.last_t = 6, -1
        app.save()
        assert second_factor.takes(engineer, code[-6:])


def test_password_alone_opens_nothing(sign_in, with_factor, engineer):
    app, _ = with_factor(engineer)

    web, answer = sign_in(engineer, typed={"next": reverse("songs:list")})
    before = is_signed_in(web)
    answer = web.post(answer.url, {"code": code_of(app)})

    assert not before
    assert answer.url == reverse("songs:list")
    assert is_signed_in(web)


def test_code_opens_nothing_without_the_password_before_it(with_factor, engineer):
    app, _ = with_factor(engineer)
    web = Client()

    assertRedirects(web.post(STEP_TWO, {"code": code_of(app)}), reverse("login"))
    assert not is_signed_in(web)


def test_password_changed_meanwhile_ends_the_step(sign_in, with_factor, engineer):
    app, _ = with_factor(engineer)
    web, _ = sign_in(engineer)
    engineer.set_password("a-heron-on-the-slipway")
    engineer.save()

    assert web.post(STEP_TWO, {"code": code_of(app)}).url == reverse("login")


def test_step_lasts_ten_minutes(sign_in, with_factor, engineer):
    with time_machine.travel(datetime(2030, 5, 6, 10, tzinfo=UTC), tick=False) as clock:
        app, _ = with_factor(engineer)
        web, _ = sign_in(engineer)
        clock.shift(601)
        answer = web.post(STEP_TWO, {"code": code_of(app)})

    assert answer.url == reverse("login")


def test_no_code_is_taken_twice(sign_in, with_factor, engineer):
    app, _ = with_factor(engineer)
    code = code_of(app)
    for web, _ in (sign_in(engineer), sign_in(engineer)):
        last = web.post(STEP_TWO, {"code": code})

    assertContains(last, "was used already")
    assert not is_signed_in(web)


def test_recovery_code_lets_in_once_however_it_is_typed(sign_in, with_factor, engineer):
    _, codes = with_factor(engineer)
    stored = set(StaticToken.objects.values_list("token", flat=True))
    typed = codes[0].upper().replace(" ", "-")

    first, _ = sign_in(engineer)
    second, _ = sign_in(engineer)
    first.post(STEP_TWO, {"code": typed})
    second.post(STEP_TWO, {"code": typed})

    assert (is_signed_in(first), is_signed_in(second)) == (True, False)
    assert len(codes) == 10
    assert not stored & {code.replace(" ", "") for code in codes}
    assert second_factor.codes_left(engineer) == 9


def test_last_codes_lead_to_the_page_of_new_ones(sign_in, with_factor, engineer):
    _, codes = with_factor(engineer)
    StaticToken.objects.exclude(pk__in=StaticToken.objects.values("pk")[:3]).delete()
    app = second_factor.app_of(engineer)
    web, _ = sign_in(engineer)
    left = [code for code in codes if second_factor.takes(engineer, code)]

    answer = web.post(STEP_TWO, {"code": code_of(app)})

    assert len(left) == 3
    assert answer.url == PAGE


def test_new_password_by_a_link_does_not_go_round_it(with_factor, engineer):
    with_factor(engineer)
    engineer.email = "ulric@quay-steps.example"
    engineer.save()
    web, new = Client(), "a-heron-on-the-slipway"
    web.post(reverse("password_forgotten"), {"email": engineer.email})

    web.post(link_in(0), {"new_password1": new, "new_password2": new})
    answer = web.post(reverse("login"), {"username": "ulric", "password": new})

    assert answer.url == STEP_TWO
    assert not is_signed_in(web)


def test_it_is_set_up_by_the_password_and_a_code(client_of, engineer):
    engineer.email = "ulric@quay-steps.example"
    engineer.save()
    web = client_of(engineer)
    web.post(PAGE, {"do": "begin", "password": PASSWORD})
    app = TOTPDevice.objects.get(user=engineer, confirmed=False)
    page = web.get(PAGE)
    wrong = web.post(PAGE, {"do": "confirm", "code": "000000"})
    before = User.objects.get(pk=engineer.pk).second_factor_since
    made = web.post(PAGE, {"do": "confirm", "code": code_of(app)}, follow=True)

    address = urlsplit(second_factor.address_of(app))
    engineer.refresh_from_db()
    assertContains(page, second_factor.secret_of(app))
    assertContains(wrong, "This code is wrong")
    assert before is None
    assert engineer.second_factor_since
    assert "Second factor set up" in engineer.history.first().history_change_reason
    assert len(made.context["codes"]) == 10
    assertNotContains(web.get(PAGE), made.context["codes"][0])  # shown once
    assert "no-store" in made["Cache-Control"]
    assert "set up by you" in Letter.objects.get().text
    assert (address.scheme, address.netloc, unquote(address.path)) == ("otpauth", "totp", "/ulric")
    assert parse_qs(address.query)["issuer"] == ["Quay Steps Studio"]


@pytest.mark.parametrize("where", ["there, later", "elsewhere"])
def test_secret_is_shown_to_nobody_who_did_not_type_the_password(
    client_of, sign_in, engineer, where
):
    """Whoever finds the page of one that was begun would set up an app of their own (OWASP, Multifactor
    Authentication Cheat Sheet: the password once more before factors change)."""
    web = client_of(engineer)
    web.post(PAGE, {"do": "begin", "password": PASSWORD})
    app = TOTPDevice.objects.get(user=engineer, confirmed=False)
    begun, late = web.get(PAGE), timezone.now() + second_factor.SET_UP_WITHIN
    if where == "elsewhere":
        late, web = timezone.now(), sign_in(engineer)[0]
    with time_machine.travel(late, tick=False):
        page = web.get(PAGE)
        refused = web.post(PAGE, {"do": "confirm", "code": code_of(app)}, follow=True)

    assertContains(begun, second_factor.secret_of(app))
    assertNotContains(page, second_factor.secret_of(app))
    assertContains(refused, "begin once more")
    assert User.objects.get(pk=engineer.pk).second_factor_since is None


def test_whoever_signed_in_before_it_elsewhere_is_asked_for_a_code(sign_in, engineer, assistant):
    before, _ = sign_in(engineer)
    other, _ = sign_in(assistant)
    web, _ = sign_in(engineer)
    web.post(PAGE, {"do": "begin", "password": PASSWORD})
    app = TOTPDevice.objects.get(user=engineer, confirmed=False)
    web.post(PAGE, {"do": "confirm", "code": code_of(app)})

    assert [is_signed_in(each) for each in (before, other, web)] == [False, True, True]


def test_first_step_gives_a_new_key(sign_in, with_factor, engineer):
    """Whoever planted the key in that browser would need only the code (OWASP, Session Management Cheat
    Sheet: renew the session ID after any change of what it may do)."""
    with_factor(engineer)
    web, _ = sign_in(engineer)
    planted = web.cookies["sessionid"].value
    sign_in(engineer, web=web)

    assert web.cookies["sessionid"].value != planted


@pytest.mark.parametrize("do", ["begin", "renew", "remove"])
def test_nothing_changes_by_a_device_that_was_left_signed_in(client_of, with_factor, engineer, do):
    """Whoever sits down at it does not know the password, and may not guess it for long."""
    app, codes = with_factor(engineer)
    web = client_of(engineer)
    WrongGuess.objects.bulk_create(
        WrongGuess(client=f"password of {engineer.pk}", at=timezone.now())
        for _ in range(WRONG_GUESSES - 1)
    )
    page = web.post(PAGE, {"do": do, "password": "guesswork"})
    late = web.post(PAGE, {"do": do, "password": PASSWORD})

    assertContains(page, "This is not your password.")
    assertContains(late, "Too many wrong passwords")
    assert list(TOTPDevice.objects.all()) == [app]
    assert second_factor.takes(engineer, codes[0])


def test_managers_own_page_is_no_way_round_their_password(client_of, with_factor, manager):
    app, _ = with_factor(manager)
    web = client_of(manager)
    new = "eleven-yards-of-tarred-twine"

    removed = web.post(reverse("sign_in_factor_remove", args=[manager.pk]))
    typed = {"new_password1": new, "new_password2": new}
    changed = web.post(reverse("sign_in_password", args=[manager.pk]), typed)

    assert (removed.url, changed.url) == (PAGE, reverse("password"))
    assert list(TOTPDevice.objects.all()) == [app]
    assert User.objects.get(pk=manager.pk).check_password(PASSWORD)


def test_new_recovery_codes_end_those_before(client_of, with_factor, engineer):
    _, before = with_factor(engineer)

    page = client_of(engineer).post(PAGE, {"do": "renew", "password": PASSWORD}, follow=True)

    assert not second_factor.takes(engineer, before[0])
    assert second_factor.takes(engineer, page.context["codes"][0])


def test_app_before_it_counts_until_another_is_set_up(client_of, with_factor, engineer):
    before, _ = with_factor(engineer)
    web = client_of(engineer)
    web.post(PAGE, {"do": "begin", "password": PASSWORD})
    web.post(PAGE, {"do": "cancel"})
    assert second_factor.takes(engineer, code_of(before))

    web.post(PAGE, {"do": "begin", "password": PASSWORD})
    app = TOTPDevice.objects.get(user=engineer, confirmed=False)
    web.post(PAGE, {"do": "confirm", "code": code_of(app)})

    assert list(TOTPDevice.objects.all()) == [app]


def test_removed_the_password_is_enough(client_of, sign_in, with_factor, engineer):
    with_factor(engineer)

    client_of(engineer).post(PAGE, {"do": "remove", "password": PASSWORD})

    assert sign_in(engineer)[1].url == reverse("home")


def test_manager_removes_what_somebody_lost_and_history_says_so(
    client_of, sign_in, with_factor, manager, engineer
):
    with_factor(engineer)

    client_of(manager).post(reverse("sign_in_factor_remove", args=[engineer.pk]))

    entry = engineer.history.first()
    assert sign_in(engineer)[1].url == reverse("home")
    assert (entry.history_user, entry.second_factor_since) == (manager, None)


def test_house_leads_its_managers_to_it_before_anything_else(client_of, asked, manager):
    web = client_of(manager)

    led = web.get(reverse("songs:list"))
    by_script = web.get(reverse("songs:list"), headers={"HX-Request": "true"})
    web.post(PAGE, {"do": "begin", "password": PASSWORD})
    app = TOTPDevice.objects.get(user=manager, confirmed=False)
    made = web.post(PAGE, {"do": "confirm", "code": code_of(app)}, follow=True)

    assert led.url == PAGE
    assert by_script.status_code == 403
    assertContains(made, f'href="{reverse("songs:list")}"')
    assert web.get(reverse("songs:list")).status_code == 200


def test_others_are_not_led_there(client_of, asked, engineer):
    assert client_of(engineer).get(reverse("songs:list")).status_code == 200


def test_what_a_manager_posts_meanwhile_is_kept(client_of, asked, manager):
    web = client_of(manager)

    led = web.post(reverse("rooms:create"), {"name": "Net Loft"})
    shown = web.get(reverse("second_factor"))

    assert led.url == PAGE
    assert shown.context["go_on"] == reverse("not_sent")


def test_manager_can_not_remove_what_the_house_asks_for(client_of, asked, with_factor, manager):
    with_factor(manager)

    page = client_of(manager).post(PAGE, {"do": "remove", "password": PASSWORD})

    assertContains(page, "so it stays")
    assert second_factor.app_of(manager)
