from django.core.management import CommandError
from django.core.management.commands import migrate
from django.db import connections
from django.db.migrations.recorder import MigrationRecorder

from sessions import constraints


class Command(migrate.Command):
    """Django's, around which the rules of the database are removed and installed again.

    A migration on SQLite remakes tables, which drops their triggers and trips over those of others.
    Whether or not it succeeds, every rule stands afterwards.
    """

    def get_check_kwargs(self, options):
        """Without the checks of the database: a rule that is missing is what this command mends."""
        return super().get_check_kwargs(options) | {"databases": []}

    def handle(self, *args, **options):
        connection = connections[options["database"]]
        if is_from_before_first_release(connection):
            raise CommandError(
                "This database was made before the first release (0.1), whose tables differ: "
                "nothing was changed in it. To go on with its data, go back to the version of the "
                "program that made it. To start afresh, keep this database as it is and name "
                "another one (DATA_DIR, or DATABASE_URL on PostgreSQL), then run this again."
            )
        if options["plan"] or options["check_unapplied"]:
            return super().handle(*args, **options)
        constraints.remove(connection)
        try:
            return super().handle(*args, **options)
        finally:
            constraints.install(connection)


def is_from_before_first_release(connection) -> bool:
    applied = MigrationRecorder(connection).applied_migrations()
    return ("studio_sessions", "0001_initial") in applied
