import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db


def test_single_letter_keys_are_switched_off_and_on_by_each_for_themselves(client_of, engineer):
    client, page = client_of(engineer), reverse("songs:list")

    answer = client.post(reverse("keys"), {"keys": "off", "next": f"{page}?q=slow"})

    engineer.refresh_from_db()
    assert (answer.url, engineer.character_keys) == (f"{page}?q=slow", False)
    assert 'data-character-keys="off"' in client.get(page).text
    client.post(reverse("keys"), {"keys": "on"})
    assert 'data-character-keys="off"' not in client.get(page).text


def test_switch_that_is_neither_is_ignored(client_of, engineer):
    client_of(engineer).post(reverse("keys"), {"keys": "perhaps"})

    engineer.refresh_from_db()
    assert engineer.character_keys
