import pytest
from django.urls import reverse

from studio.models import Theme

pytestmark = pytest.mark.django_db


def test_theme_is_kept_and_leads_back_to_the_page(client_of, engineer):
    client = client_of(engineer)

    answer = client.post(reverse("theme"), {"theme": "dark", "next": "/songs/?q=slow"})

    engineer.refresh_from_db()
    assert engineer.theme == Theme.DARK
    assert answer.url == "/songs/?q=slow"
    assert '<html lang="en-GB" data-theme="dark">' in client.get(reverse("songs:list")).text


def test_theme_that_is_none_is_ignored(client_of, engineer):
    client_of(engineer).post(reverse("theme"), {"theme": "sepia"})

    engineer.refresh_from_db()
    assert engineer.theme == Theme.AUTO


@pytest.mark.parametrize("outside", ["https://elsewhere.example/", "//elsewhere.example/", ""])
def test_theme_leads_to_no_other_host(client_of, engineer, outside):
    answer = client_of(engineer).post(reverse("theme"), {"theme": "light", "next": outside})

    assert answer.url == reverse("home")


def test_theme_is_changed_by_posting_only(client_of, engineer):
    answer = client_of(engineer).get(reverse("theme"), {"theme": "dark"})

    engineer.refresh_from_db()
    assert answer.status_code == 405
    assert engineer.theme == Theme.AUTO
