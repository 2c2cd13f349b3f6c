"""One file; what differs between machines comes from the environment and fails loudly."""

from pathlib import Path

from csp.constants import NONE, SELF
from django.utils.functional import SimpleLazyObject
from environs import Env, validate

from studio.bucket_address import bucket_options, origin_of
from studio.private_files import secret_key

env = Env()
BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(env.str("DATA_DIR", str(BASE_DIR / "data")))
env.read_env(str(DATA_DIR / "studio.env"), recurse=False)

DEBUG = env.bool("DEBUG", False)
# Made when it is first asked for: to import settings writes nothing.
SECRET_KEY = env.str("SECRET_KEY", "") or SimpleLazyObject(lambda: secret_key(DATA_DIR))
ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", ["localhost", "127.0.0.1", "[::1]"])
CSRF_TRUSTED_ORIGINS = env.list("CSRF_TRUSTED_ORIGINS", [])

INSTALLED_APPS = [
    "studio",
    "gear",
    "sessions",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "django.forms",  # its widget templates, for FORM_RENDERER
    "django_filters",
    "django_htmx",
    "django_otp",
    "django_otp.plugins.otp_static",
    "django_otp.plugins.otp_totp",
    "django_tables2",
    "django_tasks",
    "django_tasks_db",
    "lucide",
    "simple_history",
]

# Sign-in and role are asked for before the CSRF token, which is part of the body: nothing of a body
# is read, let alone written to the disk, for somebody who may not send it.
MIDDLEWARE = [
    "studio.middleware.RequestIdMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "studio.middleware.CacheMiddleware",  # static files were answered before it
    "csp.middleware.CSPMiddleware",
    "studio.writers.WritersMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "studio.signing_in.limits.SignInLimitsMiddleware",
    "studio.middleware.SignInRequiredMiddleware",
    "studio.middleware.AccessMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
    "sessions.editing.presses.PressMiddleware",  # last: what comes before it may refuse
]

ROOT_URLCONF = "studio.urls"
WSGI_APPLICATION = "studio.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "studio.access.pages_open",
            ],
            "builtins": ["sessions.templatetags.press"],  # every form needs it
        },
    },
]
FORM_RENDERER = "studio.forms.StudioRenderer"

# SQLite: writes begin IMMEDIATE so that two bookings queue instead of deadlocking, and every
# commit reaches the disk before it is acknowledged (synchronous=FULL). What an INSERT OR REPLACE
# takes away is deleted, for the rules too (recursive_triggers).
SQLITE_OPTIONS = {
    "transaction_mode": "IMMEDIATE",
    "timeout": 60,  # seconds that a writer waits for those before it; sixteen at once take turns
    "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; "
    "PRAGMA recursive_triggers=ON;",
}
DATABASES = {
    "default": env.dj_db_url("DATABASE_URL", f"sqlite:///{DATA_DIR / 'studio.sqlite3'}"),
}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"] |= {"ENGINE": "studio.sqlite3", "OPTIONS": SQLITE_OPTIONS}
else:
    # Nobody waits for ever: for a lock no longer than on SQLite, for a server that is gone 5 s, or 30 s
    # where its machine vanished in the middle of an answer.
    waits = {"options": "-c lock_timeout=60s", "connect_timeout": 5, "tcp_user_timeout": 30_000}
    DATABASES["default"]["OPTIONS"] = waits | DATABASES["default"].get("OPTIONS", {})
# Of the 8 threads of a process (studio/serving/gunicorn.conf.py) so many may wait to write.
WRITERS_AT_ONCE = 6
# A connection serves many requests: to open one takes longer than most pages do.
DATABASES["default"] |= {"CONN_MAX_AGE": 600, "CONN_HEALTH_CHECKS": True}

AUTH_USER_MODEL = "studio.User"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "studio.backends.RoleBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
    )
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "login"
SESSION_ENGINE = "studio.session_store"
SESSION_COOKIE_AGE = 366 * 24 * 3600  # seconds; house rules end it before (`signing_in/limits.py`)
# Wrong passwords and codes on devices where that user never signed in, by name and address; known
# devices have counts of their own (`known_devices.py`).
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25  # hours
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False  # a pause ends, whoever types meanwhile
AXES_DISABLE_ACCESS_LOG = True  # who is signed in where has rows of ours (`signed_in.py`)
AXES_SENSITIVE_PARAMETERS = ["username", "ip_address", "code"]
AXES_WHITELIST_CALLABLE = "studio.signing_in.trying.is_known"
AXES_LOCKOUT_TEMPLATE = "registration/locked.html"
AXES_CLIENT_IP_CALLABLE = "studio.sign_ins.client_address"
# The counts above hold for codes, too. The library's own would let whoever has the password keep its
# owner out.
OTP_TOTP_THROTTLE_FACTOR = OTP_STATIC_THROTTLE_FACTOR = 0
TRUSTED_PROXIES = env.list("TRUSTED_PROXIES", [])  # whose X-Forwarded-For is believed

LANGUAGE_CODE = "en-gb"
TIME_ZONE = env.str("STUDIO_TIME_ZONE", "Europe/London")
USE_TZ = True
USE_I18N = True
FORMAT_MODULE_PATH = "studio.formats"

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
MEDIA_ROOT = DATA_DIR / "files"
# Where large files are kept in the end: on this disk, or in a bucket that the worker moves them to.
BUCKET = bucket_options(env.str("FILES_URL", ""))
STORAGES = {
    "default": {"BACKEND": "studio.storage.BucketStorage", "OPTIONS": BUCKET}
    if BUCKET
    else {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "studio.static_files.StaticFiles"},
}
WHITENOISE_USE_FINDERS = DEBUG
DATA_UPLOAD_MAX_NUMBER_FIELDS = 4000  # a chain page has a field for every control
# Only pages that take files (`studio/access.py`) write what is sent to the disk.
FILE_UPLOAD_HANDLERS = ["django.core.files.uploadhandler.MemoryFileUploadHandler"]
FILE_UPLOAD_TEMP_DIR = DATA_DIR / "incoming"
# Whether the proxy sends stored files itself, once a page has let them go (`studio/serving/nginx.conf`):
# it reads them as one of the group.
PROXY_SENDS_FILES = env.bool("PROXY_SENDS_FILES", False)
FILE_UPLOAD_PERMISSIONS = 0o640 if PROXY_SENDS_FILES else 0o600
FILE_UPLOAD_DIRECTORY_PERMISSIONS = 0o750 if PROXY_SENDS_FILES else 0o700
# Folders of this machine in which recordings are kept, for whoever links them to takes.
TAKE_FOLDERS = [folder.rstrip("/") for folder in env.list("TAKE_FOLDERS", []) if folder.strip("/")]
UPLOAD_LIMIT_BYTES = env.int("UPLOAD_LIMIT_BYTES", 16 * 2**30)
SOUND_LIMIT_HOURS = env.float("SOUND_LIMIT_HOURS", 12)  # of what a file lasts once it is decoded

# Unless a mail server is named, mails are only written to the log: nobody is told by accident.
mail = env.dj_email_url("EMAIL_URL", "console://")
EMAIL_BACKEND, EMAIL_FILE_PATH = mail["EMAIL_BACKEND"], mail["EMAIL_FILE_PATH"]
EMAIL_HOST, EMAIL_PORT = mail["EMAIL_HOST"], mail["EMAIL_PORT"]
EMAIL_HOST_USER, EMAIL_HOST_PASSWORD = mail["EMAIL_HOST_USER"], mail["EMAIL_HOST_PASSWORD"]
EMAIL_USE_TLS, EMAIL_USE_SSL = mail["EMAIL_USE_TLS"], mail["EMAIL_USE_SSL"]
EMAIL_TIMEOUT = env.int("EMAIL_TIMEOUT", 5)  # seconds; somebody waits for the page meanwhile
DEFAULT_FROM_EMAIL = SERVER_EMAIL = env.str("DEFAULT_FROM_EMAIL", "studio@localhost")
ADMINS = [("", address) for address in env.list("ADMINS", [])]  # who gets a mail of every error

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"request": {"()": "studio.logs.RequestFormatter"}},
    "handlers": {
        "stderr": {"class": "logging.StreamHandler", "formatter": "request"},
        "admins": {"class": "studio.logs.AdminMail", "level": "ERROR", "formatter": "request"},
    },
    "root": {"handlers": ["stderr", "admins"], "level": "INFO" if DEBUG else "WARNING"},
    "loggers": {
        "django": {"handlers": []},  # to the root; its own mail would hold all that was posted
        "django.security.DisallowedHost": {"handlers": ["stderr"], "propagate": False},
        "django.server": {"handlers": ["stderr"], "propagate": False},  # `runserver`
    },
}

# Where the worker puts backups, how often, and how many of them stay, how long (0: no matter).
BACKUP_FOLDER = env.str("BACKUP_FOLDER", "")
BACKUP_EVERY_HOURS = env.int("BACKUP_EVERY_HOURS", 24, validate=validate.Range(min=1))
BACKUP_KEEP = env.int("BACKUP_KEEP", 14, validate=validate.Range(min=0))
BACKUP_DAYS = env.int("BACKUP_DAYS", 0, validate=validate.Range(min=0))

METRICS_TOKEN = env.str("METRICS_TOKEN", "")  # who brings it reads the figures; without it nobody

STUDIO_NAME = env.str("STUDIO_NAME", "Quay Steps Studio")
DJANGO_TABLES2_TEMPLATE = "django_tables2/studio.html"

STYLE_PAGE = DEBUG  # every component in every state, for those who change the code

# What `manage.py serve` runs: processes of the server, and workers for each queue of tasks.
PROCESSES = env.int("PROCESSES", 2, validate=validate.Range(min=1))
WORKERS = env.int("WORKERS", 1, validate=validate.Range(min=1))

TASKS = {  # done by `manage.py work`
    "default": {
        "BACKEND": "django_tasks_db.DatabaseBackend",
        "QUEUES": ["default", "sound"],
    }
}

bucket = [origin_of(BUCKET["endpoint_url"])] if BUCKET else []
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "media-src": [SELF, *bucket],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
SECURE_SSL_REDIRECT = env.bool("HTTPS_ONLY", False)
SECURE_REDIRECT_EXEMPT = [r"^(health/|ready/|metrics)$"]  # asked by machines, within the house
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT
SECURE_HSTS_SECONDS = 31_536_000 if SECURE_SSL_REDIRECT else 0
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if SECURE_SSL_REDIRECT else None
X_FRAME_OPTIONS = "DENY"

DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
