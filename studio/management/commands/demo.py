from studio.demo.command import Command  # noqa: F401
