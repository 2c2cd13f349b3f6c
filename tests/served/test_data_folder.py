"""Password hashes, web sessions and people's work are for the account that serves them."""

from uuid import uuid4

from django.urls import reverse

from tests.factories import PASSWORD, SongFactory
from tests.sessions.deliverables.uploads.sending import PIECE, TUS, metadata
from tests.signals import stereo, tone, write_wav


def test_all_that_is_written_is_its_owners_alone(served, engineer, tmp_path):
    mix = write_wav(tmp_path / "mix.wav", stereo(tone(0.5, -20)))
    song = SongFactory()
    studio = served()
    studio.sign_in(engineer.username, PASSWORD)

    about = metadata(filename=mix.name, kind="rough_mix", batch=uuid4())
    said = TUS | {"Upload-Length": str(mix.stat().st_size), "Upload-Metadata": about}
    begun = studio.ask(reverse("uploads:create", args=[song.pk]), method="POST", body=b"", **said)
    said = TUS | {"Upload-Offset": "0", "Content-Type": PIECE}
    answer = studio.ask(begun.headers["Location"], method="PATCH", body=mix.read_bytes(), **said)

    modes = {path.name: path.stat().st_mode & 0o777 for path in studio.data.rglob("*")}
    assert (begun.status, answer.status) == (201, 204)
    assert studio.data.stat().st_mode & 0o777 == 0o700
    assert {"secret_key", "incoming", "files"} <= set(modes)
    assert any(name.endswith(".wav") for name in modes)
    assert {name: mode for name, mode in modes.items() if mode & 0o077} == {}
