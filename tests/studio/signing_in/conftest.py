import pytest
from django.urls import reverse
from django_otp.oath import TOTP

from studio.signing_in import second_factor
from tests.conftest import PressingClient
from tests.factories import PASSWORD


def code_of(app, *, steps: int = 0) -> str:
    """What the app shows now, or so many steps of 30 s later."""
    code = TOTP(app.bin_key, drift=steps)
    return f"{code.token():06}"


@pytest.fixture
def sign_in():
    """Types name and password into the sign-in page, in a browser of its own unless one is given."""

    def typed(user, password=PASSWORD, *, web=None, **more):
        web = web or PressingClient()
        facts = {"username": user.username, "password": password} | more.pop("typed", {})
        return web, web.post(reverse("login"), facts, **more)

    return typed


@pytest.fixture
def with_factor():
    """`with_factor(manager)`: sets the second factor up; gives the app and the recovery codes. The
    code that it was confirmed with was one of the step before."""

    def set_up(user):
        app = second_factor.begin(user, by=user)
        codes = second_factor.confirm(app, code=code_of(app, steps=-1), by=user)
        app.refresh_from_db()
        return app, codes

    return set_up
