"""A process of its own that sends one form, and may be killed while it does.

Prints where the answer leads. `kill` names the moment: "before" what was made is kept, or "after".
"""

import json
import os
import signal
import sys

import django


def main(*, user, address, sent, kill):
    from django.test import Client

    from sessions.editing import presses
    from studio.models import User

    def killed(*_, **__):
        os.kill(os.getpid(), signal.SIGKILL)

    once = presses._once
    if kill == "before":
        presses.Press.keep_answer = killed
    elif kill == "after":
        presses._once = lambda *args: killed(once(*args))
    client = Client(SERVER_NAME="localhost")
    client.force_login(User.objects.get(pk=user), backend="studio.backends.RoleBackend")
    sys.stdout.write("ready\n")
    sys.stdout.flush()
    sys.stdin.readline()
    sys.stdout.write(client.post(address, sent).url)


if __name__ == "__main__":
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    django.setup()
    main(**json.loads(sys.argv[1]))
