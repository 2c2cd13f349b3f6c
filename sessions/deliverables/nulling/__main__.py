"""Child process: `python -m sessions.deliverables.nulling MEMORY_BYTES CPU_SECONDS`, files as JSON on
standard input: {"rate": …, "stems": [{…}], "mix": {…}}, as `comparing.Sound` has them."""

import json
import sys

from sessions.limited import limit_this_process

from .comparing import Sound, compare


def main(memory_bytes: str, cpu_seconds: str) -> None:
    limit_this_process(memory_bytes, cpu_seconds)
    asked = json.load(sys.stdin)
    stems = [Sound(**stem) for stem in asked["stems"]]
    json.dump(compare(stems, Sound(**asked["mix"]), rate=asked["rate"]), sys.stdout)


if __name__ == "__main__":
    main(*sys.argv[1:])
