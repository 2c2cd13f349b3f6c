"""What is there of all that was acknowledged: nothing lost, nothing half saved, nothing doubled, and no
file without a row or row without a file."""

import hashlib
import subprocess
from collections import Counter
from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.db import connection
from django.db.models import F, FileField, Sum
from django.utils import timezone
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from sessions.constraints import broken, missing
from sessions.deliverables.models import DeliverableFile, FileState
from sessions.deliverables.uploads.models import KEPT, Upload
from sessions.letters.models import Letter, LetterState
from sessions.letters.sending import GIVEN_UP_AFTER
from sessions.money.invoices.models import Invoice
from sessions.money.models import MoneyPaper
from sessions.money.payments.models import Payment
from sessions.papers.stored.models import StoredPaper
from sessions.setups.models import Stage
from sessions.takes.models import RevisionInDoubt, Take, TakePress
from studio.working.regular import tidy
from tests.mail_server import MailServer
from tests.measure.load.deeds import AtWork
from tests.measure.load.processes import MANAGE

ROUNDS = 3  # of a worker without a task to do; what is not sent by then is lost
MOST_ROUNDS = 30  # a worker ends after some tasks, and a busy machine leaves many
TOTAL = Decimal("72.00")  # of every invoice, with tax


def finish_what_waits() -> None:
    """As the worker does within the next week: who took a letter up and was killed is given up after
    ten minutes, a letter behind one that comes last goes in the next round, an upload that nobody goes on
    with after seven days."""
    rounds = 0
    for _ in range(MOST_ROUNDS):
        long_ago = timezone.now() - GIVEN_UP_AFTER - timedelta(minutes=1)
        Letter.objects.exclude(taken_up_at=None).update(taken_up_at=long_ago)
        subprocess.run([*MANAGE, "work", "--once"], check=True)
        if DBTaskResult.objects.ready().exists():
            continue
        rounds += 1
        if rounds == ROUNDS or not Letter.objects.waiting().exists():
            break
    now = timezone.now()
    tidy(now, now + KEPT + timedelta(days=1))


def wrong(people: list[AtWork], post: MailServer) -> Iterator[str]:
    """What does not hold, in words."""
    for each in people:
        name = each.desk.user.username
        yield from (f"{name}: {what}" for what in (*_takes(each), *_gains(each)))
    yield from _numbers()
    yield from _files(people)
    yield from _money(people)
    yield from _letters(people, post)
    yield from _work_left()
    yield from _stray()
    yield from _of_the_database()


# --- the control room -----------------------------------------------------------------------------


def _takes(each: AtWork) -> Iterator[str]:
    """A take points to the gain that stood when it was pressed, and goes on to."""
    presses = TakePress.objects.filter(user=each.desk.user, what="start")
    by_number = {str(press.number): press.take for press in presses.select_related("take")}
    noted = {number for number, *_ in each.notes.takes}
    yield from _compared("takes", Counter(noted), Counter(list(by_number)))
    for number, gain, mark in each.notes.takes:
        if not (take := by_number.get(number)):
            continue
        parts = [(of.part_id, of.mark) for of in take.take_parts.all()]
        if parts != [(each.desk.part.pk, mark)]:
            yield f"{take} has {parts} in place of {mark}"
        if (pressed := take.presses.count()) != 2:
            yield f"{take} was pressed {pressed} times"
        went_through = _stages(each).filter(revision__in=take.through.values("revision"))
        gains = [_gain(each, stage) for stage in went_through]
        if gains != [gain]:
            yield f"{take} went through {gains} in place of {gain}"


def _gains(each: AtWork) -> Iterator[str]:
    """The last that was set stands, and the history has them all, by whom."""
    if (stands := _gain(each, each.desk.stage)) != each.notes.gains[-1]:
        yield f"the gain stands at {stands} in place of {each.notes.gains[-1]}"
    ours = Stage.history.filter(
        revision__chain=each.desk.chain, unit=each.desk.stage.unit, history_user=each.desk.user
    )
    told = {_gain(each, row) for row in ours}
    if missing := set(each.notes.gains[1:]) - told:
        yield f"the history has no {missing}"


def _stages(each: AtWork):
    return Stage.objects.filter(revision__chain=each.desk.chain, unit=each.desk.stage.unit)


def _gain(each: AtWork, stage) -> float:
    return float(stage.settings.get(each.desk.control, 0))


def _numbers() -> Iterator[str]:
    """Of takes, papers and invoices there is each once, from 1 on."""
    for model, within in ((Take, "song"), (MoneyPaper, "kind"), (Invoice, "kind")):
        found: dict = {}
        for of, number in model.objects.values_list(within, "number"):
            found.setdefault(of, []).append(number)
        for of, numbers in found.items():
            if sorted(numbers) != list(range(1, len(numbers) + 1)):
                yield f"numbers of {model._meta.verbose_name_plural}, {of}: {sorted(numbers)}"
    if rolling := Take.objects.filter(ended_at=None).count():
        yield f"{rolling} takes roll for ever"
    if doubts := RevisionInDoubt.objects.count():
        yield f"of {doubts} takes it is not known what they went through"


def _files(people: list[AtWork]) -> Iterator[str]:
    files = list(DeliverableFile.objects.all())
    sent = Counter(sum for each in people for sum in each.notes.files)
    yield from _compared("uploads", sent, Counter(file.sha256 for file in files))
    for file in files:
        if file.state not in (FileState.AS_IS, FileState.MEASURED):
            yield f"{file} is {file.state}"
        if hashlib.sha256(Path(file.file.path).read_bytes()).hexdigest() != file.sha256:
            yield f"{file} is not what was sent"
    if arriving := Upload.objects.arriving().count():
        yield f"{arriving} uploads go on for ever"


# --- the office -----------------------------------------------------------------------------------


def _money(people: list[AtWork]) -> Iterator[str]:
    quoted = Counter(note for each in people for note in each.notes.papers)
    yield from _compared(
        "papers", quoted, Counter(MoneyPaper.objects.values_list("note", flat=True))
    )
    billed = Counter(each for one in people for each in one.notes.bills)
    lines = Invoice.objects.values_list("lines__what", "pk")
    yield from _compared("bills", billed, Counter(lines))
    torn = Invoice.objects.exclude(total=TOTAL, line_count=1)
    yield from (f"{each} comes to {each.total}" for each in torn)
    paid = Counter(each for one in people for each in one.notes.payments)
    for_what = Payment.objects.values_list("reference", "allocations__invoice")
    yield from _compared("payments", paid, Counter(for_what))
    whole = Payment.objects.annotate(used=Sum("allocations__amount"))
    yield from (f"{each} is torn" for each in whole.exclude(used=F("amount"), amount=TOTAL))


def _letters(people: list[AtWork], post: MailServer) -> Iterator[str]:
    """One for each that was pressed, and all of them arrived: one that the worker was killed at may have
    done so twice, as the same message (RFC 5322, section 3.6.4)."""
    letters = Letter.objects.filter(kind="invoice")
    about = Counter(letters.values_list("topics__about_id", flat=True))
    sent = Counter(key for each in people for key in each.notes.letters)
    yield from _compared("letters", sent, about)
    for state, count in Counter(Letter.objects.values_list("state", flat=True)).items():
        if state != LetterState.SENT:
            yield f"{count} letters are {state}"
    written = {str(each) for each in Letter.objects.values_list("message_id", flat=True)}
    arrived = {
        str(message["Message-ID"]).strip("<>").partition("@")[0] for _, message in post.taken
    }
    yield from _compared("messages", Counter(written), Counter(arrived))


def _compared(what: str, noted: Counter, there: Counter) -> Iterator[str]:
    if lost := noted - there:
        yield f"{what} lost: {_few(lost)}"
    if more := there - noted:
        yield f"{what} doubled, or never acknowledged: {_few(more)}"


def _few(found: Counter) -> str:
    return f"{found.total()}, such as {list(found)[:3]}"


# --- what is left ---------------------------------------------------------------------------------


def _work_left() -> Iterator[str]:
    for status, count in Counter(DBTaskResult.objects.values_list("status", flat=True)).items():
        if status != TaskResultStatus.SUCCESSFUL:
            yield f"{count} tasks are {status.lower()}"
    for paper in StoredPaper.objects.all():
        if paper.error or not paper.file or not paper.file.read().startswith(b"%PDF"):
            yield f"{paper} was not made: {paper.error}"


def _stray() -> Iterator[str]:
    places = (settings.MEDIA_ROOT, settings.FILE_UPLOAD_TEMP_DIR)
    there = {path for place in places for path in Path(place).rglob("*") if path.is_file()}
    named = set(_named())
    if left := there - named:
        yield f"{len(left)} files without a row, such as {min(left)}"
    if lost := named - there:
        yield f"{len(lost)} files lost, such as {min(lost)}"


def _named() -> Iterator[Path]:
    for model in apps.get_models():
        for field in model._meta.fields:
            if isinstance(field, FileField):
                for name in model.objects.exclude(**{field.name: ""}).values_list(
                    field.attname, flat=True
                ):
                    if name:
                        yield Path(settings.MEDIA_ROOT) / name


def _of_the_database() -> Iterator[str]:
    """Rules stand and are true, keys lead somewhere, and the file is whole."""
    yield from (f"{name} is missing" for name in missing(connection))
    yield from broken(connection)
    connection.check_constraints()
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            said = cursor.execute("PRAGMA integrity_check").fetchall()
        if said != [("ok",)]:
            yield f"the database is damaged: {said}"
