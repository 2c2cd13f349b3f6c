"""What no font has is said on the paper and on the page that offers it."""

import pytest
from django.urls import reverse

from sessions.papers.signs import unprintable
from studio.models import User
from tests.factories import ProjectFactory
from tests.sessions.papers.every_paper import KINDS, day_of, subject_of

pytestmark = pytest.mark.django_db
NOBODYS = "\U0010fffd"  # of a private use area: no font has a letter for it
NAMED = f"these signs; papers print their numbers: {NOBODYS} [U+10FFFD]."


@pytest.mark.parametrize("typed", ["Πνοή", "Прилив", "a\u200b\u00ad\n→ ☐ ♯"])
def test_our_fonts_and_those_of_fontconfig_have(typed):
    assert unprintable(typed) == []


def test_sign_that_no_font_has_is_listed_once():
    assert unprintable(f"a{NOBODYS}b{NOBODYS}") == [NOBODYS]


def test_every_page_that_offers_a_paper_says_which_signs_it_cannot_print(client_of):
    session = day_of(1, project=ProjectFactory(name=f"Neap {NOBODYS}", artist=f"The {NOBODYS}"))
    browser = client_of(User.objects.get(username="odile"))

    for kind in KINDS:
        page = browser.get(kind.address(subject_of(kind, session)))
        assert page.text.count(NAMED) == 1, kind.page


def test_page_without_a_paper_says_nothing_of_signs(client_of, manager):
    project = ProjectFactory(name=f"Neap {NOBODYS}")

    page = client_of(manager).get(reverse("clients:project_detail", args=[project.pk])).text

    assert NOBODYS in page
    assert NAMED not in page
