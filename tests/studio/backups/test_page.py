"""The page of backups, and what Today says of them to who may see to it."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from pytest_django.asserts import assertContains, assertNotContains

from sessions.tasks.models import SOUND, Worker
from studio.backups.models import Backup
from studio.backups.regular import is_being_made

pytestmark = pytest.mark.django_db
PAGE = reverse("backups")


@pytest.fixture
def folder(settings, tmp_path):
    settings.BACKUP_FOLDER = str(tmp_path)
    return tmp_path


def made(folder, hours_ago=0, **facts):
    at = timezone.now() - timedelta(hours=hours_ago)
    path = folder / f"{hours_ago}.zip"
    path.write_bytes(b"PK")
    facts = {"file": path, "size": 2, "holds": {"rows": 12345, "files": 1, "listed": 7}} | facts
    return Backup.objects.create(made_at=at, **facts)


def test_without_a_folder_it_says_how_they_are_made(client_of, manager):
    page = client_of(manager).get(PAGE)

    assertContains(page, "None was made yet.")
    assertContains(page, "BACKUP_FOLDER=/var/backups/studio")
    assertContains(page, "manage.py backup --to FOLDER")
    assertNotContains(page, "Back up now")


def test_list_says_what_became_of_each(client_of, manager, folder, tmp_path):
    last = made(folder, 3)
    made(folder, 4, failure="The disk of /b is full: no backup was kept.", file="", holds={})
    made(folder, 5).remove(timezone.now())
    away = made(folder, 6)
    (folder / "6.zip").unlink()

    page = client_of(manager).get(PAGE)

    for words in (
        "3\xa0hours ago",
        "12,345 rows, 1 file",
        "7 more only listed",
        "The disk of /b is full",
        "removed",
        "not there now",
        f"manage.py restore {last.file}",
        "on the same disk as the studio’s data",
    ):
        assertContains(page, words)
    assertNotContains(page, "older than two")
    assert str(away) in page.text


@pytest.mark.parametrize("spoil", [lambda file: file.unlink(), lambda file: file.write_bytes(b"P")])
def test_one_that_is_gone_or_torn_is_not_called_good(client_of, manager, folder, spoil):
    older, newest = made(folder, 5), made(folder, 3)
    spoil(newest.file)

    page = client_of(manager).get(PAGE)
    assertContains(page, "5\xa0hours ago")
    assertContains(page, f"manage.py restore {older.file}")

    spoil(older.file)
    page = client_of(manager).get(PAGE)
    assertContains(page, "None of them is in place.")
    assertContains(page, "manage.py restore FILE")
    assertContains(client_of(manager).get("/"), "the file of the last one is gone or damaged")


def test_one_of_a_clock_that_was_ahead_is_not_the_last(client_of, manager, folder):
    made(folder, -24 * 365)
    made(folder, 3)

    assertContains(client_of(manager).get(PAGE), "3\xa0hours ago")


def test_asked_for_now_it_is_made_by_the_worker_once(client_of, manager, folder):
    web = client_of(manager)

    page = web.post(reverse("back_up_now"), follow=True)
    assertContains(page, "no worker is there to make it")
    Worker.objects.sign("sound", SOUND)
    again = web.post(reverse("back_up_now"), follow=True)

    assert is_being_made()
    assertContains(again, "A backup is being made already.")
    assertContains(again, "disabled")


def test_without_a_folder_none_is_asked_for(client_of, manager):
    page = client_of(manager).post(reverse("back_up_now"), follow=True)

    assertContains(page, "No folder is set for backups")
    assert not is_being_made()


@pytest.mark.parametrize(
    ("hours_ago", "said"),
    [(None, "None is made yet"), (49, "The last good one is 2"), (47, None)],
)
def test_today_warns_the_manager_of_two_periods_without_one(
    client_of, manager, tmp_path, hours_ago, said
):
    if hours_ago:
        made(tmp_path, hours_ago)

    page = client_of(manager).get("/")

    if said:
        assertContains(page, said)
        assertContains(page, f'href="{PAGE}"')
    else:
        assertNotContains(page, 'id="backups"')


def test_today_says_nothing_of_it_to_others_nor_while_the_first_is_made(
    client_of, manager, engineer, folder
):
    assertNotContains(client_of(engineer).get("/"), 'id="backups"')

    web = client_of(manager)
    assertContains(web.get("/"), "The first one is not made yet")
    web.post(reverse("back_up_now"))
    assertNotContains(web.get("/"), 'id="backups"')

    made(folder, failure="The disk is full.")
    page = web.get(PAGE)
    assertContains(page, "The disk is full.")


def test_queries_do_not_grow_with_the_list(client_of, manager, folder, django_assert_num_queries):
    web = client_of(manager)
    web.get(PAGE)
    for count in (1, 2):
        for _ in range(count):
            made(folder, 3, made_by=manager)
        with django_assert_num_queries(6):
            web.get(PAGE)
