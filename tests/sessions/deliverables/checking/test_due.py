"""What is still to deliver for a song and for a project."""

import pytest
from django.urls import reverse
from pytest_django.asserts import assertContains

from sessions.clients.orders import rules_for
from sessions.deliverables.checking import due_for
from tests.factories import (
    DeliverableFactory,
    DeliverableFileFactory,
    NullTestFactory,
    ProjectFactory,
    SongFactory,
)

pytestmark = pytest.mark.django_db

SOUND = {"sample_peak_dbfs": -3.0, "true_peak_dbtp": -2.0}


def made(song, kind, version, **facts):
    deliverable = DeliverableFactory(song=song, kind=kind, version=version)
    return DeliverableFileFactory(deliverable=deliverable, **SOUND | facts).deliverable


@pytest.fixture
def project():
    return ProjectFactory(delivery_rules=rules_for(["rough_mix", "mix", "instrumental"]))


def test_the_newest_of_each_kind_is_what_counts(project):
    song = SongFactory(project=project)
    made(song, "mix", 1)
    newest = made(song, "mix", 2, sample_rate=44_100)
    rough = made(song, "rough_mix", 1)

    found = due_for([song], project.ordered)[song.pk]

    assert [(each.kind, each.made, each.is_left) for each in found] == [
        ("rough_mix", rough, False),
        ("mix", newest, True),
        ("instrumental", None, True),
    ]


@pytest.mark.parametrize("rows", [1, 3])
def test_a_project_shows_what_is_left_of_each_song(
    client_of, engineer, project, rows, django_assert_num_queries
):
    for _ in range(rows):
        song = SongFactory(project=project)
        stems = made(song, "rough_mix", 1)
        NullTestFactory(stems__song=song, mix=stems.files.get())
    web = client_of(engineer)

    with django_assert_num_queries(10):
        page = web.get(reverse("checking:project", args=[project.pk]))

    assertContains(page, reverse("deliverables:list", args=[song.pk]))
    assertContains(page, "not uploaded", count=2 * rows)
