"""Who works off the request, by their signs of life."""

import os
import subprocess
from datetime import timedelta
from socket import gethostname

import pytest
from django.utils import timezone

from sessions.tasks.models import SIGN_EVERY, Worker

pytestmark = pytest.mark.django_db


def worker(**facts):
    defaults = {"name": "w", "host": gethostname(), "pid": os.getpid(), "signed_at": timezone.now()}
    return Worker.objects.create(**defaults | facts)


def ended_process():
    process = subprocess.Popen(["/bin/true"])
    process.wait()
    return process.pid


def test_worker_that_signs_is_alive(django_assert_num_queries):
    Worker.objects.sign("w")

    with django_assert_num_queries(1):
        assert [each.name for each in Worker.objects.alive()] == ["w"]


def test_worker_may_miss_two_signs():
    signed = worker(host="elsewhere", signed_at=timezone.now() - 2 * SIGN_EVERY)
    assert signed.is_alive

    signed.signed_at -= timedelta(seconds=31)
    assert not signed.is_alive


def test_worker_of_this_machine_whose_process_ended_is_dead_at_once():
    assert not worker(pid=ended_process()).is_alive


def test_worker_that_was_killed_is_dead_before_anybody_has_waited_for_it():
    process = subprocess.Popen(["/bin/true"])
    os.waitid(os.P_PID, process.pid, os.WEXITED | os.WNOWAIT)

    assert not worker(pid=process.pid).is_alive

    process.wait()


def test_process_of_another_machine_cannot_be_looked_for():
    assert worker(pid=ended_process(), host="elsewhere").is_alive


def test_worker_under_another_account_is_alive(monkeypatch):
    def refuse(pid, number):
        raise PermissionError

    monkeypatch.setattr(os, "kill", refuse)

    assert worker().is_alive


def test_sign_is_renewed():
    Worker.objects.sign("w")
    Worker.objects.update(signed_at=timezone.now() - timedelta(hours=1))

    Worker.objects.sign("w")

    assert Worker.objects.get().is_alive
