"""A process of its own that hands in one file again and again, and prints each version.

    python -m tests.sessions.deliverables.racing '{"song": 1, "user": 1, "wav": ..., ...}'

It uses the database that `DATABASE_URL` names, and waits for a line before it begins.
"""

import json
import os
import sys
from pathlib import Path

import django


def main(wish):
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    django.setup()
    from django.conf import settings
    from django.core.files.uploadedfile import TemporaryUploadedFile

    from sessions.deliverables.actions import hand_in
    from sessions.songs.models import Song
    from studio.models import User

    settings.MEDIA_ROOT, settings.FILE_UPLOAD_TEMP_DIR = wish["files"], wish["incoming"]
    song, user = Song.objects.get(pk=wish["song"]), User.objects.get(pk=wish["user"])
    sys.stdin.readline()
    for _ in range(wish["times"]):
        with TemporaryUploadedFile("mix.wav", "audio/wav", 0, None) as upload:
            upload.write(Path(wish["wav"]).read_bytes())
            upload.seek(0)
            handed_in = hand_in(song, kind="rough_mix", upload=upload, note="", by=user)
        sys.stdout.write(f"{handed_in.version}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(json.loads(sys.argv[1]))
