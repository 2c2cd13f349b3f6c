from django.apps import AppConfig
from django.core.checks import Tags, register


class SessionsConfig(AppConfig):
    name = "sessions"
    # Django's own app of web sessions is labelled "sessions" already.
    label = "studio_sessions"

    def ready(self):
        from sessions import constraints

        register(constraints.check, Tags.database)
