from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from studio.backups.reading import Damaged, opened
from studio.backups.seal import compare


class Command(BaseCommand):
    help = "Read a backup through without restoring it: whether all is in it, and as it was."

    def add_arguments(self, parser):
        parser.add_argument("file")
        parser.add_argument(
            "--against-database",
            action="store_true",
            help="also whether the history in this database is still what it was at that time",
        )

    def handle(self, *, file, against_database, **options):
        try:
            with opened(file) as archive:
                archive.see_that_it_is_whole()
                self._describe(archive.manifest)
                if against_database:
                    self._compare(archive)
        except Damaged as error:
            raise CommandError(f"{file} is damaged. {error}") from error
        except OSError as error:
            raise CommandError(f"{file} can’t be read: {error.strerror or error}.") from error

    def _describe(self, manifest) -> None:
        self.stdout.write(
            f"Made at {manifest.made_at} by version {manifest.program} on {manifest.engine}: "
            f"{manifest.rows} rows, {len(manifest.files)} files, whole and as they were."
        )
        self.stdout.write(f"Seal of its history: {manifest.history}")
        if manifest.listed:
            self.stdout.write(f"{len(manifest.listed)} files are listed and not in it.")
        for name in manifest.missing:
            self.stderr.write(f"{name} was missing when it was made.")
        for name in manifest.damaged:
            self.stderr.write(f"{name} was not what it was when it was stored.")

    def _compare(self, archive) -> None:
        found = compare(archive, connection)
        for sentence in found.told:
            self.stdout.write(sentence)
        for sentence in found.faults:
            self.stderr.write(sentence)
        if found.faults:
            raise CommandError("The history in the database is not the one that was backed up.")
        self.stdout.write(f"The history in the database holds all {found.rows} rows, unaltered.")
