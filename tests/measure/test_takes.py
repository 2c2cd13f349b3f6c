"""The measuring of pages of takes; never how long anything took."""

import pytest

from sessions.takes.models import Mark, Take
from tests.factories import TakeFactory
from tests.measure.fill.many_takes import log_many, logged
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db


def test_many_takes_are_like_the_one_that_was_logged():
    like = TakeFactory(number=1, mark=Mark.HOLD)
    part = like.parts.get()
    record(like, chain_of(part, session=like.session))

    log_many(like, logged(like.song, like.session, part, count=3, first=2))

    takes = Take.objects.order_by("number")
    assert [take.number for take in takes] == [1, 2, 3, 4]
    assert [take.take_parts.get().mark for take in takes] == ["hold"] * 4
    assert {take.through.get().revision for take in takes} == {like.revisions.get()}
