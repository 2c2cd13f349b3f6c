"""Password hashes, web sessions and people's work are for the account that serves them."""

from django.urls import reverse

from tests.factories import PASSWORD, SongFactory
from tests.signals import stereo, tone, write_wav


def test_all_that_is_written_is_its_owners_alone(served, engineer, tmp_path):
    mix = write_wav(tmp_path / "mix.wav", stereo(tone(0.5, -20)))
    song = SongFactory()
    studio = served()
    studio.sign_in(engineer.username, PASSWORD)

    with mix.open("rb") as file:
        upload = reverse("deliverables:upload", args=[song.pk])
        answer = studio.ask(upload, {"kind": "rough_mix", "note": "", "file": file})

    modes = {path.name: path.stat().st_mode & 0o777 for path in studio.data.rglob("*")}
    assert answer.status == 302
    assert studio.data.stat().st_mode & 0o777 == 0o700
    assert {"secret_key", "incoming", "files"} <= set(modes)
    assert any(name.endswith(".wav") for name in modes)
    assert {name: mode for name, mode in modes.items() if mode & 0o077} == {}
