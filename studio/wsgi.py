import os

from django.core.checks import Tags, run_checks
from django.core.exceptions import ImproperlyConfigured
from django.core.wsgi import get_wsgi_application
from django.db import connection

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")

application = get_wsgi_application()

# A database that does not keep every rule (sessions/constraints/) is not served.
if errors := run_checks(tags=[Tags.database], databases=["default"]):
    raise ImproperlyConfigured("\n".join(map(str, errors)))
connection.close()  # it belongs to this process; servers may start others from it
