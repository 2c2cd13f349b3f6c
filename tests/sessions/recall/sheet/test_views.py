"""The recall of a song, as a page and as paper read back."""

import re

import pytest
from django.urls import reverse

from tests.factories import (
    ControlFactory,
    PartFactory,
    RevisionFactory,
    StageFactory,
    TakeFactory,
)
from tests.printed import (
    text_of,
)
from tests.sessions.recall.recorded import chain_of, record
from tests.sessions.recall.said import POINTS, SAID, pdf_of

pytestmark = pytest.mark.django_db


def test_page_says_the_same_as_the_paper(client_of, engineer, take):
    response = client_of(engineer).get(reverse("recall:song", args=[take.song.pk]))
    markup = re.sub(r"<[^>]+>", " ", re.sub(r"(?s)<svg.*?</svg>", " ", response.content.decode()))
    text = " ".join(markup.replace("&#x27;", "'").split())

    assert response.status_code == 200
    assert [said for said in SAID if said not in text] == []
    assert [name for name in POINTS if name not in text] == []
    assert "<script>alert" not in response.content.decode()
    assert "<img src=file" not in response.content.decode()
    assert reverse("recall:song_pdf", args=[take.song.pk]) in response.content.decode()


def test_page_and_paper_leave_out_a_rejected_takes_chain(client_of, engineer, take, session):
    rejected = chain_of(take.parts.get(), session=session, source="Alto voice behind the curtain")
    record(TakeFactory(part=take.parts.get(), session=session, number=8, mark="no_good"), rejected)
    client = client_of(engineer)

    page = client.get(reverse("recall:song", args=[take.song.pk])).content.decode()
    paper = text_of(pdf_of(client, take.song).getvalue())

    assert "Alto voice" in page
    assert "Alto voice" in paper
    assert "curtain" not in page
    assert "curtain" not in paper


def test_change_between_revisions_during_the_takes_is_told(client_of, engineer, part, session):
    first = chain_of(part, session=session)
    stage = StageFactory(revision=first, position=1, settings={"gain": 30})
    ControlFactory(panel=stage.panel, key="gain", label="Gain")
    second = RevisionFactory(chain=first.chain, number=2)
    StageFactory(
        revision=second, position=1, unit=stage.unit, panel=stage.panel, settings={"gain": 36}
    )
    for number, revision in enumerate((first, second), 1):
        record(TakeFactory(part=part, session=session, number=number, circled=True), revision)
    client = client_of(engineer)

    page = client.get(reverse("recall:song", args=[part.song.pk])).content.decode()
    text = text_of(pdf_of(client, part.song).getvalue())

    assert "Changed since revision 1" in page
    assert "Changed since revision 1:" in text
    assert f"{stage.unit}: Gain 30 dB, 12:00 → 36 dB, 1:00." in text


@pytest.mark.parametrize(
    ("circled", "on_page", "on_paper"),
    [
        (False, "No take of this song is chosen yet", "No take of this song is chosen yet"),
        (
            True,
            "No chain was logged for these takes",
            "No chain was logged for these takes",
        ),
    ],
)
def test_empty_recall_says_why(client_of, engineer, part, session, circled, on_page, on_paper):
    TakeFactory(part=part, session=session, circled=circled)
    client = client_of(engineer)

    page = client.get(reverse("recall:song", args=[part.song.pk]))
    paper = pdf_of(client, part.song)

    assert on_page in page.content.decode()
    assert on_paper in text_of(paper.getvalue())


@pytest.mark.parametrize("page", ["recall:song", "recall:song_pdf"])
def test_mix_engineer_recalls_only_own_projects(client_of, mix_engineer, mixed_project, page):
    theirs = PartFactory(song__project=mixed_project).song
    other = PartFactory().song
    client = client_of(mix_engineer)

    answer = client.get(reverse(page, args=[theirs.pk]))
    assert (answer.status_code, bool(answer.getvalue())) == (200, True)
    assert client.get(reverse(page, args=[other.pk])).status_code == 404


def test_paper_may_be_shown_by_the_browsers_own_reader(client_of, engineer, part):
    """A browser's reader brings styles and scripts of its own, which `default-src` would refuse."""
    paper = pdf_of(client_of(engineer), part.song)

    assert paper.getvalue()
    assert paper["Content-Security-Policy"] == "frame-ancestors 'none'"
