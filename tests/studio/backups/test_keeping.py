"""Of the backups the newest are kept, and always the last good one."""

from datetime import timedelta

import pytest

from studio.backups.keeping import prune
from studio.backups.models import Backup
from tests.factories import TEN_O_CLOCK

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


@pytest.fixture
def made(tmp_path):
    """`made(0, 1, 5)`: one for each, so many days old, with its file."""

    def make(*ages, **facts):
        for age in ages:
            path = tmp_path / f"{age}.zip"
            path.write_bytes(b"PK")
            Backup.objects.create(made_at=TEN_O_CLOCK - age * DAY, file=path, size=2, **facts)

    return make


def left(folder):
    return sorted(int(path.stem) for path in folder.glob("*.zip"))


@pytest.mark.parametrize(
    ("keep", "days", "stay"),
    [(0, 0, [0, 1, 5, 40]), (2, 0, [0, 1]), (0, 5, [0, 1, 5]), (3, 2, [0, 1]), (1, 1, [0])],
)
def test_too_many_and_too_old_go(made, tmp_path, keep, days, stay):
    made(0, 1, 5, 40)

    gone = prune(tmp_path, keep=keep, days=days, now=TEN_O_CLOCK)

    assert left(tmp_path) == stay
    assert len(gone) == 4 - len(stay)
    assert Backup.objects.kept().count() == len(stay)
    assert {backup.removed_at for backup in gone} <= {TEN_O_CLOCK}


def test_torn_file_is_no_good_one(made, tmp_path):
    made(0, 90)
    (tmp_path / "0.zip").write_bytes(b"P")

    prune(tmp_path, keep=1, days=5, now=TEN_O_CLOCK)

    assert left(tmp_path) == [0, 90]
    assert [each.is_torn for each in Backup.objects.all()] == [True, False]


def test_last_good_one_stays_whatever_its_age(made, tmp_path):
    made(90, 400)
    made(1, failure="The disk is full.")

    prune(tmp_path, keep=1, days=7, now=TEN_O_CLOCK)

    assert 90 in left(tmp_path)
    assert 400 not in left(tmp_path)


def test_one_that_was_carried_away_does_not_stand_for_one_that_is_there(made, tmp_path):
    made(1, 2, 3)
    (tmp_path / "1.zip").unlink()

    prune(tmp_path, keep=1, days=0, now=TEN_O_CLOCK)

    assert left(tmp_path) == [2]


def test_what_has_no_row_is_nobodys_to_remove(made, tmp_path):
    (tmp_path / "9.zip").write_bytes(b"somebody's")
    made(0, 1)

    prune(tmp_path, keep=1, days=0, now=TEN_O_CLOCK)

    assert left(tmp_path) == [0, 9]


def test_files_of_another_folder_are_not_counted_nor_removed(made, tmp_path):
    """A copy on a disk that is carried away takes nothing from those that are made every night."""
    made(1, 2)
    other = tmp_path / "carried"
    other.mkdir()
    (other / "studio.zip").write_bytes(b"PK")
    Backup.objects.create(made_at=TEN_O_CLOCK, file=other / "studio.zip", size=2)

    assert prune(other, keep=1, days=1, now=TEN_O_CLOCK) == []
    assert len(prune(tmp_path, keep=1, days=0, now=TEN_O_CLOCK)) == 1
    assert left(tmp_path) == [1]
    assert (other / "studio.zip").exists()
