"""Writes the licences of all packages that the studio installs: `python -m tests.licences`.

Each line as pip-licenses finds it in the installed package. `.ci/lock` writes them to LICENCES.
"""

import json
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
HEAD = """\
Licences of what the studio installs, as pip-licenses reads them from each package; written by
`sh .ci/lock`. The studio itself: LICENSE. Its fonts, made from fonts under the SIL Open Font License:
studio/static/studio/fonts/OFL.txt. htmx and the icons come with django-htmx and lucide.
"""


def pinned():
    """Version by name of each package in requirements.txt."""
    text = (ROOT / "requirements.txt").read_text("utf-8")
    return dict(re.findall(r"^([\w.-]+)==(\S+)", text, re.MULTILINE))


def licences():
    """A line for each pinned package that is installed here, by name."""
    answer = subprocess.run(
        [sys.executable, "-m", "piplicenses", "--from", "mixed", "--format", "json"],
        capture_output=True,
        check=True,
    )
    found = {
        re.sub(r"[-_.]+", "-", each["Name"]).lower(): each for each in json.loads(answer.stdout)
    }
    return {
        name: f"{name:24}{found[name]['Version']:16}{found[name]['License']}"
        for name in sorted(pinned())
        if name in found
    }


if __name__ == "__main__":
    print("\n".join([HEAD, *licences().values()]))  # noqa: T201
