import os
import shutil

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection, transaction

from gear.acting import acting
from sessions.management.commands.migrate import is_from_before_first_release
from sessions.papers.stored.making import want
from sessions.papers.stored.models import StoredPaper
from sessions.papers.stored.upkeep import add_ahead
from sessions.recall.sheet.stored import RECALL_SHEET
from studio.demo.deliveries import hold_one_back
from studio.demo.equipment import fill_equipment
from studio.demo.invoices import fill_invoices
from studio.demo.letters import let_one_fail, say_sent
from studio.demo.money import fill_money
from studio.demo.payments import fill_payments
from studio.demo.people import PASSWORD, STAFF, USERNAMES, fill_people, fill_projects
from studio.demo.photographs import fill_photographs
from studio.demo.sign_offs import fill_sign_offs
from studio.demo.songs import fill_songs
from studio.demo.studio import fill_studio
from studio.demo.work import Work
from studio.models import User
from studio.private_files import make_data_folder
from studio.working.keeping import keep
from studio.working.lanes import server, workers

LOOPBACK = ("127.0.0.1", "localhost", "[::1]")


class Command(BaseCommand):
    help = (
        "Open the demo studio: make the database, fill every screen, print a sign-in for each "
        "role and the address, and serve. Run again, it leaves everything as it is."
    )

    def add_arguments(self, parser):
        parser.add_argument("--address", default="127.0.0.1:8000", help="host:port to serve at")
        parser.add_argument("--reset", action="store_true", help="empty the demo and fill it anew")
        parser.add_argument("--no-serve", action="store_true", help="fill only")

    def handle(self, *, address, reset, no_serve, verbosity, **options):
        if address.rpartition(":")[0] not in LOOPBACK:
            raise CommandError(
                "The demo’s password is public, so it is served to this machine only: "
                "give --address as 127.0.0.1:port. README.md says how a studio goes into production."
            )
        if is_from_before_first_release(connection) and self._is_a_demo():
            self.stdout.write("This demo was made before the first release: it is made anew.")
            reset = True
        if reset:
            self._reset()
        call_command("migrate", verbosity=0)
        call_command("collectstatic", interactive=False, verbosity=0)
        if User.objects.exists():
            self.stdout.write("The database is there already: nothing is changed in it.")
        else:
            self.stdout.write("Filling Quay Steps Studio with its people, gear and sessions …")
            fill()
        self._print_sign_ins(address)
        if not no_serve:
            add_ahead(RECALL_SHEET, RECALL_SHEET.ahead, opened_at=f"http://{address}/")
            want(StoredPaper.objects.all())
            self._serve(address)

    def _reset(self) -> None:
        """Only a demo is emptied: a database with other people in it is somebody's work."""
        if connection.vendor != "sqlite":
            raise CommandError("--reset empties the demo’s own SQLite database and no other.")
        if not self._is_a_demo():
            raise CommandError(
                "This database has people in it that the demo never made: it is not emptied. "
                "Point DATA_DIR at another folder for a fresh demo."
            )
        connection.close()
        database = str(settings.DATABASES["default"]["NAME"])
        for suffix in ("", "-wal", "-shm"):
            if os.path.exists(database + suffix):
                os.remove(database + suffix)
        shutil.rmtree(settings.MEDIA_ROOT, ignore_errors=True)

    def _is_a_demo(self) -> bool:
        """Whether nobody signs in to it but those whom a demo makes."""
        if User._meta.db_table not in connection.introspection.table_names():
            return True
        names = set(User.objects.order_by().values_list("username", flat=True))
        return connection.vendor == "sqlite" and names <= USERNAMES

    def _print_sign_ins(self, address: str) -> None:
        if not User.objects.filter(username=STAFF[0][0]).exists():
            return
        self.stdout.write("\nSign in as (the password is the same for all):\n")
        for username, first, last, role, _does in STAFF:
            self.stdout.write(f"  {username:<10} {role.label:<20} {first} {last}")
        self.stdout.write(f"  password:  {PASSWORD}")
        self.stdout.write(f"\nOpen http://{address}/ (Ctrl+C ends it)\n")
        self.stdout.flush()

    def _serve(self, address: str) -> None:
        connection.close()
        backups = settings.DATA_DIR / "backups"
        make_data_folder(backups)
        os.environ.setdefault("BACKUP_FOLDER", str(backups))
        quietly = ("--log-level", "warning")
        keep([[*server(processes=2, bind=address), *quietly], *workers(1)])


@transaction.atomic
def fill() -> None:
    """The whole demo or nothing of it; nobody is written to."""
    people = fill_people()
    manager = User.objects.get(username="odile")
    with acting(manager):
        fill_equipment()
        fill_studio(manager)
        projects = fill_projects(people)
        Work(people, projects, fill_songs(projects, people)).fill()
        fill_money()
        fill_sign_offs()
        fill_invoices()
        fill_payments()
        hold_one_back()
        fill_photographs()
        say_sent()
        let_one_fail()
