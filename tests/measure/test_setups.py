"""The measuring of a page of many chains; never how long anything took."""

import pytest

from sessions.setups.models import Stage
from tests.measure.fill.house import furnish
from tests.measure.setups import filled_setup, saving, saving_alone, texts_of


@pytest.mark.django_db
def test_saving_moves_every_control_on_to_the_next_chain(client_of):
    house = furnish(rooms=1, chains=2)
    setup = filled_setup(house, 2)
    before, client = settings_of(setup), client_of(house.manager)

    saving(client, setup, texts_of(client, setup))()
    assert settings_of(setup) == [*before[6:], *before[:6]]
    assert before[:6] != before[6:]

    saving_alone(client, house.manager, setup, texts_of(client, setup))()
    assert settings_of(setup) == before


def settings_of(setup):
    stages = Stage.objects.filter(revision__chain__setup=setup)
    return list(stages.order_by("revision__chain", "position").values_list("settings", flat=True))
