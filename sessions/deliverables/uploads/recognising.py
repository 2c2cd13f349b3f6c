"""Child process: `python -m sessions.deliverables.uploads.recognising MEMORY_BYTES CPU_SECONDS FILE` fails
where no decoder finds sound in the file."""

import sys

import av

from sessions.deliverables.measuring.decoding import OPENING
from sessions.limited import limit_this_process


def main(memory_bytes: str, cpu_seconds: str, path: str) -> None:
    limit_this_process(memory_bytes, cpu_seconds)
    with av.open(path, metadata_errors="replace", options=OPENING) as container:
        sys.exit(not container.streams.audio)


if __name__ == "__main__":
    main(*sys.argv[1:])
