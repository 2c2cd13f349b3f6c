"""A child that never ends what it says: `python -m tests.sessions.bounds.endless … WHERE`."""

import sys

from sessions.limited import limit_this_process

BLOCK = b"x" * (1 << 20)


def main(memory_bytes: str, cpu_seconds: str, where: str) -> None:
    limit_this_process(memory_bytes, cpu_seconds)
    outlet = {"answer": sys.stdout, "complaint": sys.stderr}[where].buffer
    for _ in range(200):
        outlet.write(BLOCK)


if __name__ == "__main__":
    main(*sys.argv[1:])
