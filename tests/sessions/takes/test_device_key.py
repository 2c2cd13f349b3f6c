from base64 import b64decode

from sessions.takes.device_key import device_key
from tests.factories import UserFactory


def test_key_is_one_persons_for_good_and_this_studios(settings):
    ulric, piran = UserFactory.build(pk=1), UserFactory.build(pk=2)
    key = device_key(ulric)

    assert len(b64decode(key)) == 32
    assert device_key(UserFactory.build(pk=1, password="another")) == key
    assert device_key(piran) != key
    settings.SECRET_KEY = "another house's"
    assert device_key(ulric) != key
