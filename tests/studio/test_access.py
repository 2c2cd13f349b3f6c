"""Who may open what: the table of pages against the URLs, and every page walked by everybody."""

import pytest
from django.db import transaction
from django.urls import reverse

from studio.access import PAGES, PUBLIC, may_open
from studio.roles import Role
from tests.factories import PersonFactory, ProjectFactory, UserFactory
from tests.studio.caching import assert_nobody_else_keeps
from tests.studio.every_page import FURTHER, OF_A_PROJECT, ROW, address, routes, rows_of

# What they answer says how the studio is: tests/studio/watching/.
OF_MACHINES = {"ready", "metrics"}


def answer_of(client, address) -> int:
    """The status of a page, posted to where it can't be got; leaves no trace in the rows, nor in caches."""
    client.raise_request_exception = False
    with transaction.atomic():
        answer = client.get(address)
        if answer.status_code == 405:
            answer = client.post(address, headers={"Tus-Resumable": "1.0.0"})
        if answer.status_code == 405:
            answer = client.options(address)
        if answer.streaming:
            b"".join(answer.streaming_content)  # read to its end, a file is closed
        transaction.set_rollback(True)
    assert_nobody_else_keeps(answer)
    return answer.status_code


def test_every_url_has_a_row_and_every_row_a_url():
    assert set(PAGES) == set(routes())


def test_every_address_that_names_a_row_says_which():
    with_row = {page for page, held in routes().items() if "pk" in held}

    assert set(ROW) == with_row
    assert {page: held - {"pk"} for page, held in routes().items() if held - {"pk"}} == {
        page: set(held) for page, held in FURTHER.items()
    }


@pytest.mark.django_db
def test_stranger_is_sent_to_sign_in_from_every_page(client):
    rows = rows_of(ProjectFactory())
    wrong = {}
    for page in [page for page, roles in PAGES.items() if roles is not PUBLIC]:
        asked = address(page, rows)
        answer = client.get(asked)
        if (answer.status_code, answer.url) != (302, f"{reverse('login')}?next={asked}"):
            wrong[page] = answer.status_code

    assert wrong == {}
    assert client.get(reverse("login")).status_code == 200


@pytest.mark.django_db
@pytest.mark.parametrize("role", Role)
def test_role_opens_its_pages_and_no_other(client_of, role):
    user = UserFactory(role=role)
    project = ProjectFactory()
    project.mix_engineers.add(PersonFactory(user=user))
    rows = rows_of(project)

    wrong = {}
    for page, roles in PAGES.items():
        if page in OF_MACHINES:
            continue
        status = answer_of(client_of(user), address(page, rows))
        allowed = roles is PUBLIC or role in roles
        if allowed != (status < 400 or status in {400, 409, 422}) or (
            not allowed and status != 403
        ):
            wrong[page] = status

    assert wrong == {}


@pytest.mark.django_db
def test_row_that_is_not_theirs_is_not_there_for_a_mix_engineer(
    client_of, mix_engineer, mixed_project
):
    rows = rows_of(ProjectFactory())
    pages = [
        page
        for page in ROW
        if may_open(mix_engineer, page) and PAGES[page] is not PUBLIC and ROW[page] in OF_A_PROJECT
    ]

    answers = {page: answer_of(client_of(mix_engineer), address(page, rows)) for page in pages}

    assert answers == dict.fromkeys(pages, 404)
    assert len(pages) > 10


@pytest.mark.django_db
def test_page_of_no_row_is_not_there(client_of, engineer):
    assert client_of(engineer).get(reverse("songs:detail", args=[999])).status_code == 404


@pytest.mark.django_db
def test_refused_page_says_so_in_words(client_of, mix_engineer):
    page = client_of(mix_engineer).get(reverse("clients:list"))

    assert page.status_code == 403
    assert "403.html" in [used.name for used in page.templates]


@pytest.mark.django_db
def test_somebody_who_has_left_opens_nothing():
    left = UserFactory(role=Role.MANAGER, is_active=False)

    opened = {page for page in PAGES if may_open(left, page)}
    assert opened == {page for page, roles in PAGES.items() if roles is PUBLIC}


@pytest.mark.django_db
def test_page_without_a_row_is_nobodys(manager):
    assert may_open(manager, "songs:burn") is False
