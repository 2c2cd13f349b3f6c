"""Nobody locks another out. Outside: OWASP, “Slow Down Online Guessing Attacks with Device Cookies”;
NIST SP 800-63B, 5.2.2 (at most 100 consecutive failures, waits that grow from 30 s to an hour)."""

from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from axes.models import AccessAttempt
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from sessions.links.models import WRONG_GUESSES
from studio.known_devices import FAILURES, LONGEST_WAIT, STRANGERS, STRANGERS_FAILURES, KnownDevice
from studio.signing_in.trying import COOKIE
from tests.factories import PASSWORD
from tests.studio.joining.test_invitations import link_in
from tests.studio.signing_in.conftest import code_of

pytestmark = pytest.mark.django_db

STEP_TWO = reverse("sign_in_code")


@pytest.fixture(autouse=True)
def axes(settings):
    settings.AXES_ENABLED = True


def attack(user, *, times=FAILURES + 2):
    """From the address of the studio itself."""
    stranger, facts = Client(), {"username": user.username, "password": "guesswork"}
    return [stranger.post(reverse("login"), facts) for _ in range(times)][-1]


def test_strangers_stop_neither_who_is_signed_in_nor_a_known_device(sign_in, engineer, assistant):
    web, _ = sign_in(engineer)
    tablet, _ = sign_in(engineer)
    tablet.post(reverse("logout"))

    refused = attack(engineer)
    _, new_device = sign_in(engineer)

    assert (refused.status_code, new_device.status_code) == (429, 429)
    assert web.get(reverse("home")).status_code == 200
    assert sign_in(engineer, web=tablet)[1].url == reverse("home")


def test_device_on_which_two_sign_in_is_known_for_both(sign_in, engineer, assistant):
    tablet, _ = sign_in(engineer)
    tablet.post(reverse("logout"))
    sign_in(assistant, web=tablet)
    tablet.post(reverse("logout"))
    attack(engineer)
    attack(assistant)

    for user in (engineer, assistant):
        assert sign_in(user, web=tablet)[1].url == reverse("home")
        tablet.post(reverse("logout"))


def test_device_known_for_one_is_not_for_another(sign_in, engineer, assistant):
    tablet, _ = sign_in(assistant)
    tablet.post(reverse("logout"))
    attack(engineer)

    assert sign_in(engineer, web=tablet)[1].status_code == 429


def test_known_device_has_a_count_of_its_own(sign_in, engineer):
    with time_machine.travel(datetime(2030, 5, 6, 10, tzinfo=UTC), tick=False) as clock:
        tablet, _ = sign_in(engineer)
        tablet.post(reverse("logout"))
        for _ in range(FAILURES):
            last = sign_in(engineer, "guesswork", web=tablet)[1]
        paused = sign_in(engineer, web=tablet)[1]
        elsewhere = sign_in(engineer)[1]
        clock.shift(timedelta(minutes=14))
        still = sign_in(engineer, web=tablet)[1]
        clock.shift(timedelta(minutes=1, seconds=1))
        after = sign_in(engineer, web=tablet)[1]

    assert last.status_code == 200
    assert (paused.status_code, still.status_code) == (429, 429)
    assert "Try again after 10:15" in paused.text or "Try again after 11:15" in paused.text
    assert elsewhere.url == after.url == reverse("home")


@pytest.mark.parametrize("written", [" {}", "{} ", "{}\u2003"])
def test_name_written_otherwise_is_counted_as_the_same(sign_in, engineer, written):
    """The form takes spaces away, and other forms of a letter: so do the counts."""
    tablet, _ = sign_in(engineer)
    tablet.post(reverse("logout"))
    typed = {"username": written.format(engineer.username)}
    for _ in range(FAILURES):
        sign_in(engineer, "guesswork", web=tablet, typed=typed)
        sign_in(engineer, "guesswork", typed=typed)

    assert sign_in(engineer, web=tablet, typed=typed)[1].status_code == 429
    assert sign_in(engineer, web=tablet)[1].status_code == 429
    assert KnownDevice.objects.get(user=engineer, secret_hash=STRANGERS).failures == FAILURES


def test_cookie_that_somebody_made_up_is_not_taken_over(sign_in, engineer):
    """OWASP, Session Management: an identifier that the server did not give is never accepted."""
    planted = Client()
    planted.cookies[COOKIE] = "known to whoever planted it"
    web, _ = sign_in(engineer, web=planted)

    assert web.cookies[COOKIE].value != "known to whoever planted it"
    assert KnownDevice.objects.of(engineer.username, "known to whoever planted it") is None


def test_strange_cookie_is_no_known_device(sign_in, engineer):
    web, _ = sign_in(engineer)
    cookie = web.cookies[COOKIE]
    attack(engineer)
    forged = Client()
    forged.cookies[COOKIE] = cookie.value[:-1] + ("A" if cookie.value[-1] != "A" else "B")

    assert sign_in(engineer, web=forged)[1].status_code == 429
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")
    assert cookie.value not in str(list(KnownDevice.objects.values()))


def test_link_by_mail_lets_a_new_device_in_during_an_attack(sign_in, engineer):
    engineer.email = "ulric@quay-steps.example"
    engineer.save()
    attack(engineer)
    new = Client()
    new.post(reverse("password_forgotten"), {"email": engineer.email})

    led = new.post(link_in(0), {"keep": "1"})
    attack(engineer, times=2)
    again = Client().post(link_in(0), {"keep": "1"})

    assert led.url == reverse("login")
    assert new.get(reverse("home")).status_code == 302  # the password is asked for all the same
    assert sign_in(engineer, web=new)[1].url == reverse("home")
    assert again.status_code == 410


def test_link_by_mail_opens_though_others_guess_links_from_there(sign_in, engineer):
    engineer.email = "ulric@quay-steps.example"
    engineer.save()
    new = Client()
    new.post(reverse("password_forgotten"), {"email": engineer.email})
    for number in range(WRONG_GUESSES + 1):
        guess = Client().get(reverse("choose_password", args=[f"guess-{number}"]))

    assert guess.status_code == 429
    assert new.post(link_in(0), {"keep": "1"}).url == reverse("login")


def test_pause_ends_though_the_attack_goes_on(sign_in, engineer):
    with time_machine.travel(datetime(2030, 5, 6, 10, tzinfo=UTC), tick=False) as clock:
        attack(engineer)
        clock.shift(timedelta(minutes=10))
        attack(engineer, times=1)
        clock.shift(timedelta(minutes=5, seconds=1))

        assert sign_in(engineer)[1].url == reverse("home")


def test_attack_from_many_addresses_is_slowed_down(settings, sign_in, engineer):
    settings.TRUSTED_PROXIES = ["127.0.0.1"]
    tablet, _ = sign_in(engineer)
    tablet.post(reverse("logout"))
    with time_machine.travel(timezone.now() + timedelta(minutes=1), tick=False):
        KnownDevice.objects.create(
            user=engineer, secret_hash=STRANGERS, failures=STRANGERS_FAILURES - 3
        )
        for number in range(3):
            headers = {"X-Forwarded-For": f"198.51.100.{number}"}
            guess = sign_in(engineer, "guesswork", headers=headers)[1]
        fresh = {"X-Forwarded-For": "203.0.113.7"}
        right = sign_in(engineer, headers=fresh)[1]
        known = sign_in(engineer, web=tablet, headers=fresh)[1]
        # the sign-in on the known device has ended the count
        after = sign_in(engineer, headers={"X-Forwarded-For": "203.0.113.8"})[1]

    assert guess.status_code == 200
    assert right.status_code == 429
    assert known.url == after.url == reverse("home")


@pytest.mark.parametrize(
    ("failures", "seconds"), [(99, 0), (100, 30), (101, 60), (106, 1920), (107, 3600), (900, 3600)]
)
def test_strangers_wait_longer_each_time(engineer, failures, seconds):
    now = timezone.now()
    strangers = KnownDevice(user=engineer, secret_hash=STRANGERS, failures=failures, failed_at=now)

    wait = timedelta(seconds=seconds)
    assert strangers.paused_until(now) == (now + wait if wait else None)
    assert strangers.paused_until(now + LONGEST_WAIT) is None


def test_wrong_codes_count_as_wrong_passwords(sign_in, with_factor, engineer):
    """Whoever has the password guesses no code for long, and stops nobody but themselves."""
    app, _ = with_factor(engineer)
    tablet, _ = sign_in(engineer)
    tablet.post(STEP_TWO, {"code": code_of(app)})
    tablet.post(reverse("logout"))
    stranger, _ = sign_in(engineer)
    for _ in range(FAILURES + 1):
        last = stranger.post(STEP_TWO, {"code": "000000"})

    assert last.status_code == 429
    assert "000000" not in str(list(AccessAttempt.objects.values()))
    assert sign_in(engineer, web=tablet)[1].url == STEP_TWO
    assert tablet.post(STEP_TWO, {"code": code_of(app, steps=1)}).url == reverse("home")


def test_name_that_nobody_has_is_answered_alike(engineer):
    facts = {"username": "nobody", "password": PASSWORD}
    web = Client()
    answers = [web.post(reverse("login"), facts).status_code for _ in range(FAILURES)]

    assert answers == [200] * (FAILURES - 1) + [429]
