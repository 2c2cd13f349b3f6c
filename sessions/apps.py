from django.apps import AppConfig
from django.core.checks import Tags, register
from django.db.models.signals import post_migrate, pre_migrate


class SessionsConfig(AppConfig):
    name = "sessions"
    # Django's own app of web sessions is labelled "sessions" already.
    label = "studio_sessions"

    def ready(self):
        from sessions import constraints

        # A migration on SQLite remakes tables, which drops their triggers and trips over those of
        # others: the guards stand aside for it and come back when it is done.
        pre_migrate.connect(constraints.stand_aside, sender=self)
        post_migrate.connect(constraints.stand_again, sender=self)
        register(constraints.check_guards, Tags.database)
