from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError, connection

from studio.backups.loading import NotAsBackedUp
from studio.backups.manifest import Manifest
from studio.backups.own_settings import lines_for_the_environment
from studio.backups.reading import Damaged, opened
from studio.backups.restoring import Refused, restore
from studio.private_files import make_data_folder


class Command(BaseCommand):
    help = (
        "Bring a backup into a fresh studio, on either engine: an empty database and an empty folder "
        "of files, as DATA_DIR and DATABASE_URL name them. Do not run migrate before."
    )
    requires_system_checks = ()  # there are no tables yet

    def add_arguments(self, parser):
        parser.add_argument("file")

    def handle(self, *, file, **options):
        try:
            with opened(file) as archive:
                restore(archive, say=self.stdout.write)
                manifest, said = archive.manifest, archive.settings()
        except (Damaged, Refused, NotAsBackedUp) as error:
            raise CommandError(f"Nothing was restored. {error}") from error
        except (OSError, DatabaseError) as error:
            raise CommandError(f"Nothing was restored: {error}") from error
        self._put_settings_aside(said, manifest)
        self._tell(manifest)

    def _put_settings_aside(self, said: bytes, manifest: Manifest) -> None:
        """For somebody to take what holds on this machine, too; nothing reads that file."""
        path = Path(settings.DATA_DIR) / "restored.env"
        make_data_folder(path.parent)
        path.write_text(lines_for_the_environment(said, manifest))
        self.stdout.write(f"The settings of the server that made it are in {path}.")

    def _tell(self, manifest: Manifest) -> None:
        self.stdout.write(
            f"Restored: {manifest.rows} rows and {len(manifest.files)} files of {manifest.made_at}, each "
            f"rule asked, each sum the same, on {connection.vendor}."
        )
        for kept, where in (("bucket", "FILES_URL"), ("folder", "TAKE_FOLDERS")):
            if count := sum(file.kept == kept for file in manifest.listed):
                self.stdout.write(
                    f"{count} files are not in it but where {where} says: bring them."
                )
        for name in manifest.missing:
            self.stderr.write(f"{name} was missing when the backup was made.")
