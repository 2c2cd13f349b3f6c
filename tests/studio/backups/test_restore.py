import shutil

import pytest

from studio.backups.reading import opened
from studio.backups.restoring import restore
from tests.factories import ReservationFactory, TakeFactory
from tests.studio.backups.conftest import using

pytestmark = pytest.mark.django_db


def test_all_comes_back(backup_of, empty_sqlite, tmp_path, settings):
    settings.MIGRATION_MODULES = {}
    ReservationFactory()
    TakeFactory()
    path = backup_of()
    shutil.copy(empty_sqlite, tmp_path / "new.sqlite3")
    with using(tmp_path / "new.sqlite3") as other, opened(path) as archive:
        restore(archive, say=print)
        again = backup_of(other, "again.zip")
    with opened(path) as one, opened(again) as two:
        assert one.manifest.tables == two.manifest.tables
