"""The report of a rebuild tells what its chains do otherwise by their sound, on page and paper."""

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.recall.sound.told import NOT_COVERED
from tests.factories import UserFactory
from tests.printed import text_of
from tests.sessions.recall.then_and_now.measured import GAIN_DB, measured_now, rebuilt, through

pytestmark = pytest.mark.django_db
HEADING = "Sound, then and now"


def said(browser, rebuild) -> tuple[str, str]:
    page = browser.get(reverse("rebuild:report", args=[rebuild.pk])).text
    pdf = browser.get(reverse("rebuild:report_pdf", args=[rebuild.pk]))
    return page, text_of(pdf.getvalue())


def test_report_says_what_differs_and_what_is_not_covered(client_of, engineer):
    rebuild = rebuilt(engineer)
    measured_now(rebuild, through(GAIN_DB - 2), ago=9)
    measured_now(rebuild, through(GAIN_DB - 1.5))

    page, paper = said(client_of(engineer), rebuild)

    for told in (page, paper):
        assert HEADING in told
        assert "1.5 dB low" in told
        assert "2 dB low" not in told
        assert "round 2" in told
        assert told.count(NOT_COVERED) == 1
    assert "<title>Response then (dashed) and now" in page


def test_report_of_what_was_not_measured_or_undone_says_nothing_of_sound(client_of, engineer):
    rebuild = rebuilt(engineer)
    measured_now(rebuild, undone_by=UserFactory(), undone_at=timezone.now())

    for told in said(client_of(engineer), rebuild):
        assert HEADING not in told
