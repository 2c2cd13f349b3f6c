"""A double press makes one of what it makes, with and without scripts."""

import pytest

from sessions.recall.models import Rebuild
from sessions.takes.models import Take
from tests.browser.forms import press, sees
from tests.factories import ChainFactory, PartFactory, RevisionFactory
from tests.sessions.recall.rebuilds.vocal import recorded_vocal

pytestmark = pytest.mark.browser
SCRIPTS = pytest.mark.parametrize("scripts", [True, False])


def press_twice(page, button: str) -> None:
    """The form is sent, its answer is not waited for, and it is sent again."""

    def send_twice(route):
        route.fetch(max_redirects=0)
        route.continue_()

    page.route("**", send_twice, times=1)
    press(page, button)


@SCRIPTS
def test_double_press_logs_one_take(page_of, engineer, scripts):
    part = PartFactory(name="Lead vocal")
    chain = ChainFactory(part=part, setup__session__project=part.song.project)
    RevisionFactory(chain=chain)
    page = page_of(engineer.username, java_script_enabled=scripts)
    page.goto(
        f"/sessions/{chain.setup.session.pk}/takes/?song={part.song_id}&part={part.pk}&setup={chain.setup.pk}"
    )

    press_twice(page, "Start take T")

    sees(page, "take 1 rolling", "Rolling since")
    assert Take.objects.get().number == 1


@SCRIPTS
def test_double_press_starts_one_rebuild(page_of, engineer, scripts):
    song = recorded_vocal().chain.parts.get().song
    page = page_of(engineer.username, java_script_enabled=scripts)
    page.goto(f"/songs/{song.pk}/rebuilds/new/")

    press_twice(page, "Start rebuild")

    sees(page, "started. Choose its units first.")
    assert Rebuild.objects.get().song == song
