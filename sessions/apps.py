from django.apps import AppConfig
from django.core.checks import Tags, register
from django.db.models.signals import post_migrate, pre_migrate


class SessionsConfig(AppConfig):
    name = "sessions"
    # Django's own app of web sessions is labelled "sessions" already.
    label = "studio_sessions"

    def ready(self):
        from sessions import guards

        # A migration on SQLite remakes tables, which drops their triggers and trips over those of
        # others: the guards stand aside for it and come back when it is done.
        pre_migrate.connect(guards.stand_aside, sender=self)
        post_migrate.connect(guards.stand_again, sender=self)
        register(guards.check_guards, Tags.database)
