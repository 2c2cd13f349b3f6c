"""Sound has a process of its own, or several."""

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django_tasks_db.models import DBTaskResult

from sessions.tasks.models import DEFAULT, SOUND, Worker
from studio.working.lanes import server, workers
from studio.working.worker import StudioWorker, sign_of_life
from tests.factories import LetterFactory
from tests.studio.working import tasks


@pytest.mark.django_db
def test_papers_and_letters_are_done_while_sound_is_measured():
    tasks.done.clear()
    tasks.measured_for_hours.enqueue()
    tasks.note.enqueue("recall sheet")
    LetterFactory()

    with sign_of_life("measures", SOUND):
        DBTaskResult.objects.get(queue_name=SOUND).claim("measures")
        StudioWorker(DEFAULT, once=True).run()

        assert tasks.done == ["recall sheet"]
        assert len(mail.outbox) == 1
        assert DBTaskResult.objects.running().get().queue_name == SOUND


@pytest.mark.django_db
def test_who_does_sound_does_nothing_else_and_takes_as_long_as_it_needs():
    tasks.done.clear()
    tasks.note.enqueue("recall sheet")
    tasks.measured_for_hours.enqueue()
    LetterFactory()

    StudioWorker(SOUND, once=True).run()

    assert tasks.done == ["measured"]
    assert mail.outbox == []


@pytest.mark.django_db
def test_who_does_sound_is_never_the_one_that_does_the_regular_work():
    Worker.objects.sign("sound", SOUND)
    Worker.objects.sign("all else", DEFAULT)

    assert [name for name in ("sound", "all else") if Worker.objects.is_first(name)] == ["all else"]
    assert [worker.name for worker in Worker.objects.alive(SOUND)] == ["sound"]


def test_so_many_do_each_queue_and_serve():
    """Together they are what `manage.py serve` keeps."""
    queues = [command[-1] for command in workers(3)]
    asked = [*map(str, server(processes=4, bind="127.0.0.1:8010"))]

    assert sorted(queues) == [DEFAULT] * 3 + [SOUND] * 3
    assert asked[asked.index("--workers") + 1] == "4"
    assert asked[asked.index("--bind") + 1] == "127.0.0.1:8010"


@pytest.mark.django_db
@pytest.mark.parametrize("number", ["0", "-1", "two"])
@pytest.mark.parametrize(
    "said", [("serve", "--processes"), ("serve", "--workers"), ("work", "--workers")]
)
def test_none_at_all_is_refused_in_words(said, number):
    with pytest.raises(CommandError, match=f"argument {said[1]}: invalid"):
        call_command(*said, number)


@pytest.mark.django_db
def test_worker_of_several_does_what_another_has_not_taken():
    """The regular work is done by one of them, a task by whoever comes first."""
    tasks.done.clear()
    for word in ("first", "second"):
        tasks.note.enqueue(word)
    with sign_of_life("one", DEFAULT), sign_of_life("other", DEFAULT):
        oldest = DBTaskResult.objects.order_by("enqueued_at").first()
        oldest.claim("one")

        StudioWorker(DEFAULT, once=True).run()

        assert tasks.done == ["second"]
        assert DBTaskResult.objects.running().get() == oldest
        assert [name for name in ("one", "other") if Worker.objects.is_first(name)] == ["one"]
