"""The main job on the set-up of a studio group, for real: `manage.py serve` with several processes and several
workers, PostgreSQL, files in a bucket, letters by SMTP, behind the shipped proxy."""

import hashlib
from pathlib import Path
from urllib.request import urlopen

import boto3
import pytest
from django.core.management import call_command
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult
from moto.server import ThreadedMotoServer
from prometheus_client.openmetrics.parser import text_string_to_metric_families

from sessions.takes.models import Take
from sessions.tasks.models import QUEUES
from tests.conftest import skip_or_fail
from tests.mail_server import MailServer
from tests.served.main_job import ARTIST, House, MainJob, wait_until
from tests.served.proxy import BEHIND, NAME, make_certificate, nginx, proxy_before
from tests.served.serving import Served
from tests.served.visitor import Visitor
from tests.shared_database import SharedDatabase
from tests.signals import stereo, tone, write_wav

pytestmark = [
    pytest.mark.postgres,
    pytest.mark.database,
    pytest.mark.usefixtures("on_postgresql", "real_database"),
]
PROCESSES, WORKERS = 2, 2
ENDED = (TaskResultStatus.SUCCESSFUL, TaskResultStatus.FAILED)
TOKEN = "third-bollard-moored"
SECONDS = 20  # of the mix: larger than a part, so that it goes to the bucket


@pytest.fixture
def bucket():
    serving = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    serving.start()
    endpoint = "http://{}:{}".format(*serving.get_host_and_port())
    keys = {"aws_access_key_id": "key", "aws_secret_access_key": "secret"}
    s3 = boto3.resource("s3", endpoint_url=endpoint, region_name="us-east-1", **keys)
    s3.Bucket("reels").create()
    yield f"s3://key:secret@reels?endpoint={endpoint}"
    serving.stop()


@pytest.fixture
def post():
    server = MailServer()
    server.start()
    yield server
    server.stop()


@pytest.fixture
def group(bucket, post, tmp_path):
    """The studio behind its proxy, once it says that it is ready, and who takes its letters."""
    if nginx() is None:
        skip_or_fail("there is no nginx: apt-get install nginx-light")
    backups = tmp_path / "backups"
    backups.mkdir()
    settings = {
        "DJANGO_SETTINGS_MODULE": "tests.served.group_settings",
        "FILES_URL": bucket,
        "EMAIL_URL": f"smtp://127.0.0.1:{post.port}",
        "BACKUP_FOLDER": str(backups),
        "METRICS_TOKEN": TOKEN,
        "DEBUG": "False",
    }
    so_many = ("--processes", str(PROCESSES), "--workers", str(WORKERS))
    studio = Served(tmp_path, SharedDatabase(tmp_path).url, serve=so_many, **BEHIND, **settings)
    try:
        with proxy_before(studio, make_certificate(tmp_path / "certificate"), tmp_path):
            wait_until(lambda: studio.ask("/ready/", Host=NAME).status == 200)
            yield studio, post
    finally:
        studio.stop()


def test_main_job_is_done_on_the_set_up_of_a_group(manager, engineer, group, tmp_path):
    studio, post = group
    job = MainJob(House.furnish(engineer), *(Visitor(studio, NAME) for _ in range(3)))
    mix = write_wav(tmp_path / "mix.wav", stereo(tone(SECONDS, -18)))

    job.manager.sign_in(manager.username)
    job.engineer.sign_in(engineer.username)
    session = job.book()
    setup, _chain = job.set_up(session)
    job.log_take(session, setup)
    rough_mix = job.hand_in(mix)
    paper = job.print_paper()
    job.send(rough_mix)
    [letter] = wait_until(lambda: post.of(ARTIST))
    taken_home = job.take_home(letter.get_body(("plain",)).get_content())

    assert Take.objects.get().revisions.count() == 1
    assert paper.startswith(b"%PDF-")
    assert len(post.of("desk@tholes.example")) == 1  # who booked is told, once
    with urlopen(taken_home) as answer:  # noqa: S310 (the bucket, by a signed address)
        assert hashlib.sha256(answer.read()).digest() == hashlib.sha256(mix.read_bytes()).digest()
    assert_every_task_was_done_once()
    assert_a_backup_is_whole(tmp_path / "backups")
    assert_figures_are_the_same_of_every_process(studio)


def assert_every_task_was_done_once() -> None:
    wait_until(lambda: not DBTaskResult.objects.exclude(status__in=ENDED).exists())
    results = list(DBTaskResult.objects.all())

    assert {result.status for result in results} == {TaskResultStatus.SUCCESSFUL}
    assert [result.task_path for result in results if len(result.worker_ids) != 1] == []


def assert_a_backup_is_whole(folder: Path) -> None:
    """The first is due at once."""
    [backup] = folder.glob("*.zip")
    call_command("verify", str(backup), verbosity=0)


def assert_figures_are_the_same_of_every_process(studio: Served) -> None:
    told = {"Host": NAME, "Authorization": f"Bearer {TOKEN}"}
    answers = [studio.ask("/metrics", **told).text for _ in range(2 * PROCESSES)]
    figures = [
        {
            (sample.name, *sample.labels.values()): sample.value
            for family in text_string_to_metric_families(text)
            for sample in family.samples
        }
        for text in answers
    ]

    assert {each["studio_takes",] for each in figures} == {1}
    assert {each["studio_workers", queue] for each in figures for queue in QUEUES} == {WORKERS}
    assert {each["studio_letters", "waiting"] for each in figures} == {0}
    assert {each["studio_backups_failed",] for each in figures} == {0}
    assert studio.ask("/metrics", Host=NAME).status == 401
