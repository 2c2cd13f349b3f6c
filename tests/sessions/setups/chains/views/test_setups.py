import pytest
from django.urls import reverse

from gear.editing.versions import claim_version
from sessions.setups.models import Setup
from tests.factories import RecordingSessionFactory, SetupFactory

pytestmark = pytest.mark.django_db


def test_setup_is_made_after_those_of_the_day(client_of, assistant):
    first = SetupFactory()
    address = reverse("setups:setup_create", args=[first.session_id])

    response = client_of(assistant).post(address, {"name": "Fiddle", "buffer_samples": "128"})

    made = Setup.objects.get(name="Fiddle")
    assert response.url == reverse("setups:session", args=[first.session_id])
    assert (made.session, made.position, made.buffer_samples) == (first.session, 2, 128)


def test_setup_form_says_what_each_buffer_means_at_the_project_s_rate(client_of, engineer):
    """128 samples at 96 kHz: 2 x 1.3333 ms; 1024: 2 x 10.6667 ms."""
    session = RecordingSessionFactory(project__sample_rate=96_000)

    html = (
        client_of(engineer).get(reverse("setups:setup_create", args=[session.pk])).content.decode()
    )

    assert "at 96 kHz" in html
    assert "128 is 2.7 ms" in html
    assert "1024 is 21.3 ms" in html
    assert "64 to 256 (common practice)" in html


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ({"name": "Morning", "buffer_samples": ""}, "choose another name"),
        ({"name": "", "buffer_samples": ""}, "This field is required"),
        ({"name": "Evening", "buffer_samples": "0"}, "Give 1 or more"),
        ({"name": "Evening", "buffer_samples": "-64"}, "Give 0 or more"),
    ],
)
def test_setup_that_cannot_be_is_refused_with_what_was_typed(client_of, engineer, typed, message):
    setup = SetupFactory(name="Morning")
    address = reverse("setups:setup_create", args=[setup.session_id])

    html = client_of(engineer).post(address, typed | {"note": "By the window"}).content.decode()

    assert message in html
    assert "By the window" in html
    assert Setup.objects.count() == 1


def test_setup_keeps_its_own_name(client_of, engineer):
    setup = SetupFactory(name="Morning")
    address = reverse("setups:setup_edit", args=[setup.pk])

    client_of(engineer).post(
        address, {"name": "Morning", "buffer_samples": "64", "seen": setup.version}
    )

    setup.refresh_from_db()
    assert setup.buffer_samples == 64


def test_setup_that_somebody_saved_meanwhile_is_shown_in_both_versions(client_of, engineer):
    setup = SetupFactory(buffer_samples=64)
    seen = setup.version
    setup.buffer_samples = 256
    claim_version(setup, seen)
    setup.save()
    address = reverse("setups:setup_edit", args=[setup.pk])

    response = client_of(engineer).post(
        address, {"name": setup.name, "buffer_samples": "1024", "seen": seen}
    )

    assert response.status_code == 409
    html = response.content.decode()
    assert "256" in html
    assert "1024" in html
    setup.refresh_from_db()
    assert setup.buffer_samples == 256
