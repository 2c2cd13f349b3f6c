"""The race on a database of its own."""

import json
import subprocess
import sys

from django.core.management import CommandError

from studio.bench.scratch import scratch_database, tables_made


def race(wish: dict) -> dict:
    """The verdict of `studio.bench.racing` on the wish. Raises CommandError where it broke off."""
    with scratch_database() as environment:
        tables_made(environment)
        run = subprocess.run(
            [sys.executable, "-m", "studio.bench.racing", json.dumps(wish)],
            env=environment,
            stdout=subprocess.PIPE,
            text=True,
        )
    if run.returncode:
        raise CommandError("The race broke off; what it said stands above.")
    return json.loads(run.stdout)
