"""Numbers that one engine takes and the other does not would bar the way to it: PostgreSQL's manual,
table 8.2, smallint to 32767, integer to 2147483647, bigint to 9223372036854775807."""

import pytest
from django.core.exceptions import ValidationError
from django.db import connection

from sessions.songs.models import Song
from tests.factories import ProjectFactory

pytestmark = pytest.mark.django_db


def test_number_that_postgresql_would_refuse_is_refused_beside_its_field():
    song = Song(project=ProjectFactory(), title="Neap and Spring", last_bar=32_768)

    with pytest.raises(ValidationError) as refused:
        song.full_clean()

    assert list(refused.value.message_dict) == ["last_bar"]
    song.last_bar = 32_767
    song.full_clean()
    song.save()


@pytest.mark.parametrize(
    ("kind", "most"),
    [
        ("PositiveSmallIntegerField", 32_767),
        ("PositiveIntegerField", 2_147_483_647),
        ("PositiveBigIntegerField", 9_223_372_036_854_775_807),
    ],
)
def test_ranges_are_the_same_on_both_engines(kind, most):
    assert connection.ops.integer_field_range(kind) == (0, most)
