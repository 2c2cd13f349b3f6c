import json
import re
import subprocess
import sys

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

REQUIREMENTS = settings.BASE_DIR / "requirements.in"
PINNED = settings.BASE_DIR / "requirements.txt"


class Command(BaseCommand):
    help = (
        "List the pinned packages of which there are newer releases, as pip and its index say: the newest "
        "that requirements.in lets in, and the newest of all. Nothing is installed."
    )
    requires_system_checks = []

    def handle(self, **options):
        pinned = dict(re.findall(r"^([\w.-]+)==(\S+)", PINNED.read_text("utf-8"), re.MULTILINE))
        fitting = {name: version for name, version in let_in() if pinned.get(name) != version}
        newest = newest_of_all()
        late = sorted(pinned.keys() & (fitting.keys() | newest.keys()))
        if not late:
            self.stdout.write(f"All {len(pinned)} packages are the newest.")
            return
        lines = [("package", "pinned", "fits", "newest")]
        lines += [
            (name, pinned[name], fitting.get(name, ""), newest.get(name, "")) for name in late
        ]
        for line in lines:
            self.stdout.write("{:30}{:16}{:16}{}".format(*line).rstrip())
        self.stdout.write(
            f"\n{len(late)} of {len(pinned)}. `sh .ci/lock --upgrade` pins those that fit; "
            "then run the tests."
        )


def let_in():
    """Name and version of each package that pip would install anew, were nothing pinned."""
    asked = ["install", "--quiet", "--dry-run", "--upgrade", "--upgrade-strategy", "eager"]
    answer = pip(*asked, "--only-binary", ":all:", "--report", "-", "-r", str(REQUIREMENTS))
    for each in answer["install"]:
        yield canonical(each["metadata"]["name"]), each["metadata"]["version"]


def newest_of_all():
    answer = pip("list", "--outdated", "--format", "json")
    return {canonical(each["name"]): each["latest_version"] for each in answer}


def pip(*arguments):
    """What pip answers as JSON. Raises CommandError with its last words."""
    answer = subprocess.run(
        [sys.executable, "-m", "pip", "--disable-pip-version-check", *arguments],
        capture_output=True,
        text=True,
    )
    if answer.returncode:
        raise CommandError(f"pip could not say:\n{answer.stderr.strip()[-1000:]}")
    return json.loads(answer.stdout)


def canonical(name):
    """As requirements.txt writes it (Python packaging's name normalisation)."""
    return re.sub(r"[-_.]+", "-", name).lower()
