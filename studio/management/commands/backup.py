from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import Error, connection
from django.utils import timezone

from studio.backups.actions import BeingMade, NotNoted, back_up
from studio.backups.keeping import prune
from studio.backups.models import Backup


class Command(BaseCommand):
    help = (
        "Back up all of the studio into one file while it works: the database, the stored files, the "
        "settings of the server, and what each of them must be when it is read again."
    )

    def add_arguments(self, parser):
        parser.add_argument("--to", required=True, metavar="FOLDER", help="where the file is put")
        parser.add_argument(
            "--with-secrets",
            action="store_true",
            help="also the signing key, and the passwords in DATABASE_URL, EMAIL_URL and FILES_URL",
        )
        parser.add_argument(
            "--keep",
            type=int,
            default=0,
            metavar="N",
            help="remove all but the newest N files of the folder",
        )
        parser.add_argument(
            "--days",
            type=int,
            default=0,
            metavar="N",
            help="remove files of the folder older than N days",
        )

    def handle(self, *, to, with_secrets, keep, days, **options):
        try:
            tables = connection.introspection.table_names()
        except Error as error:
            raise CommandError(f"The database does not answer: {error}") from error
        if Backup._meta.db_table not in tables:
            raise CommandError(
                f"No studio is here: DATA_DIR is {settings.DATA_DIR}, and the database is empty. Name the "
                "studio’s own DATA_DIR and DATABASE_URL."
            )
        try:
            made = back_up(to, with_secrets=with_secrets)
        except (BeingMade, NotNoted) as error:
            raise CommandError(str(error)) from error
        if made.failure:
            raise CommandError(made.failure)
        holds = made.holds
        self.stdout.write(f"{made.file}: {holds['rows']} rows, {holds['files']} files.")
        self.stdout.write(f"SHA-256 {made.sha256}")
        if holds["listed"]:
            self.stdout.write(
                f"{holds['listed']} files are in the bucket or in folders of TAKE_FOLDERS and only "
                "listed: back them up where they are."
            )
        for what, count in (("missing", holds["missing"]), ("damaged", holds["damaged"])):
            if count:
                self.stderr.write(f"{count} stored files are {what}: verify names them.")
        for gone in prune(to, keep=keep, days=days, now=timezone.now()):
            self.stdout.write(f"{gone.file} is removed.")
