"""The studio is backed up under mixed load, restored on the other engine, and worked with there; and what
is there afterwards, also with the longest and oddest texts in every field."""

import os
import random
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Event

import dj_database_url
from django.conf import settings
from django.core.management import call_command
from django.db import DEFAULT_DB_ALIAS, connection, connections
from django.db.models import CharField, FileField, TextField
from django.db.utils import load_backend
from django.test import Client, override_settings
from django.urls import reverse

from sessions import constraints
from studio.backups.canonical import fields_of
from studio.backups.contents import is_history, models
from studio.backups.reading import opened
from studio.models import User
from studio.settings import SQLITE_OPTIONS
from tests.measure.load.browser import Browser
from tests.measure.load.deeds import AtWork
from tests.measure.load.kept import finish_what_waits, wrong
from tests.measure.load.killed import ROLES, at_work, post_office
from tests.measure.load.processes import Processes
from tests.measure.scratch import empty_database
from tests.studio.backups.others import note_migrations

MANAGE = [sys.executable, "-m", "django"]
SERVING = 2  # processes
ODD = "Œ’\u200f\U0001f399́\u2028\t<&\"' % \\ \x7f"  # from right to left, combining, ends of lines that are none
PAGES = ("home", "schedule:day", "bookings:list", "clients:list", "equipment:list", "songs:list")


@dataclass(frozen=True)
class Verdict:
    """What was acknowledged before and after, how many backups were made meanwhile, and what does not hold."""

    before: Counter
    after: Counter
    backups: int
    rows: int
    engines: str
    wrong: list[str]

    @property
    def holds(self) -> bool:
        return not self.wrong and self.backups >= 1 and bool(self.before and self.after)

    def __str__(self) -> str:
        return (
            f"{self.before.total()} acknowledged on {self.engines}, {self.after.total()} after it; "
            f"{self.backups} backups under load, {self.rows} rows in the last\n"
            f"{'; '.join(self.wrong) or 'counts and sums the same, every rule true, nothing lost'}\n"
            f"holds            {self.holds}"
        )


def carry(seconds: int, seed: int) -> Verdict:
    """The database is spoiled."""
    note_migrations(connection)
    first, folder = connection.vendor, Path(settings.DATA_DIR) / "backups"
    folder.mkdir()
    with post_office() as post:
        with Processes(SERVING) as studio:
            people = at_work(ROLES[:4], studio.port, seed)
            before, said = _work(people, seconds, meanwhile=lambda: _back_up(folder))
        finish_what_waits()
        said += wrong(people, post)
        under_load = sorted(folder.iterdir())
        last = _back_up(folder)
        with other_engine():
            said += _restored(under_load[0])
        with other_engine():
            said += _restored(last)
            engines = f"{first}, then {connection.vendor}"
            said += _differences(last, _back_up(Path(settings.DATA_DIR)))
            with Processes(SERVING) as studio:
                for each in people:  # who have to sign in anew
                    each.browser = Browser.of(each.desk.user, studio.port, each.chance)
                connections.close_all()
                after, more = _work(people, seconds)
            finish_what_waits()
            said += [*more, *wrong(people, post)]
            write_odd_texts()
            said += pages_that_fail()
            odd = _back_up(Path(settings.DATA_DIR))
            with other_engine():
                said += _restored(odd)
                said += [*_differences(odd, _back_up(Path(settings.DATA_DIR))), *pages_that_fail()]
    with opened(last) as archive:
        rows = archive.manifest.rows
    return Verdict(before, after, len(under_load), rows, engines, said)


def _work(people: list[AtWork], seconds: int, meanwhile=lambda: None) -> tuple[Counter, list[str]]:
    over, deeds = Event(), Counter()
    with ThreadPoolExecutor(len(people)) as pool:
        works = [pool.submit(_go_on, each, over, deeds) for each in people]
        try:
            until = time.monotonic() + seconds
            while time.monotonic() < until:
                meanwhile()
                time.sleep(random.random())
        finally:
            over.set()
    return deeds, [error for work in works for error in work.result()]


def _go_on(person: AtWork, over: Event, deeds: Counter) -> list[str]:
    manager = person.desk.user.role == "manager"
    while not over.is_set():
        for deed in person.IN_CONTROL_ROOM + person.IN_OFFICE * manager:
            try:
                deed(person)
            except Exception as error:  # whatever it is, somebody would have seen it
                return [f"{person.desk.user}: {deed.__name__}: {error}"]
            deeds[deed.__name__] += 1
    return []


# --- backups ------------------------------------------------------------------------------------


def _back_up(folder: Path) -> Path:
    before = set(folder.glob("studio-*.zip"))
    subprocess.run([*MANAGE, "backup", "--to", folder], check=True, stdout=subprocess.DEVNULL)
    [made] = set(folder.glob("studio-*.zip")) - before
    return made


def _restored(backup: Path) -> list[str]:
    """Into the empty database in use: the command itself compares sums and asks each rule."""
    ended = subprocess.run([*MANAGE, "restore", backup], capture_output=True, text=True)
    return [f"{backup.name}: {ended.stderr}"] if ended.returncode else []


def _differences(one: Path, other: Path) -> Iterator[str]:
    with opened(one) as first, opened(other) as second:
        then, now = first.manifest, second.manifest
    for table, was in then.tables.items():
        held = now.tables[table]
        if (was.rows, was.sha256) != (held.rows, held.sha256):
            yield f"{table}: {was} became {held}"
    if (then.files, then.history) != (now.files, now.history):
        yield "other files, or another history"


@contextmanager
def other_engine() -> Iterator[None]:
    """An empty database of the other one is the studio’s: OTHER_DATABASE_URL names a server of PostgreSQL."""
    was = {name: os.environ.get(name, "") for name in ("DATABASE_URL", "DATA_DIR")}
    own = connections[DEFAULT_DB_ALIAS]
    server = os.environ.get("OTHER_DATABASE_URL", "") if own.vendor == "sqlite" else ""
    os.environ["DATABASE_URL"] = server
    with empty_database() as (folder, url):
        key = str(
            settings.SECRET_KEY
        )  # whoever signs in from here is known to the server's processes
        os.environ |= {"DATABASE_URL": url, "DATA_DIR": folder, "SECRET_KEY": key}
        for name in ("static", "incoming"):
            os.mkdir(f"{folder}/{name}", 0o700)
        facts = own.settings_dict | dj_database_url.parse(url) | {"OPTIONS": {}}
        if not server:
            facts |= {"ENGINE": "studio.sqlite3", "OPTIONS": SQLITE_OPTIONS}
        other = load_backend(facts["ENGINE"]).DatabaseWrapper(facts, DEFAULT_DB_ALIAS)
        connections[DEFAULT_DB_ALIAS] = other
        here = Path(folder)
        try:
            with override_settings(
                DATA_DIR=here, MEDIA_ROOT=here / "files", FILE_UPLOAD_TEMP_DIR=here / "incoming"
            ):
                call_command("migrate", run_syncdb=True, verbosity=0)
                note_migrations(other)
                yield
        finally:
            other.close()
            connections[DEFAULT_DB_ALIAS] = own
            os.environ |= was


# --- odd texts ----------------------------------------------------------------------------------


def write_odd_texts() -> None:
    """Into every text of every row, as long as it may be; what is one of a few words stays, and so does
    what an index wants to be another in each row, or a file's name."""
    with constraints.aside(connection):
        for model in models():
            alone = {name for constraint in model._meta.constraints for name in _fields(constraint)}
            odd = {
                field.name: (ODD * 500)[: field.max_length or 2000]
                for field in fields_of(model).values()
                if isinstance(field, CharField | TextField)
                and not (field.choices or field.unique or field.name in alone)
                and not isinstance(field, FileField)
                and not is_of_the_program(model, field)
            }
            if odd:
                model._base_manager.update(**odd)


def is_of_the_program(model, field) -> bool:
    """Names of classes and such, and addresses: nobody types them."""
    own = {"sha256", "key", "currency", "relation", "history_type", "username", "password"}
    return (
        model._meta.app_label in ("auth", "contenttypes", "otp_totp", "otp_static")
        or field.name in own
        or field.get_internal_type() in ("SlugField",)
        or (is_history(model) and field.name == "history_type")
        or (field.max_length or 999) < 20
    )


def _fields(constraint) -> set[str]:
    said = str(constraint.deconstruct())
    return set("".join(sign if sign.isalnum() or sign == "_" else " " for sign in said).split())


def pages_that_fail() -> Iterator[str]:
    client = Client(raise_request_exception=False)
    manager = User.objects.filter(role="manager", is_active=True).first()
    client.force_login(manager, backend="studio.backends.RoleBackend")
    for name in PAGES:
        status = client.get(reverse(name), HTTP_HOST="localhost").status_code
        if status >= 500:
            yield f"{name}: {status}"
