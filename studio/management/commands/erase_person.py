import getpass
from collections import defaultdict

from django.core.management.base import BaseCommand, CommandError

from sessions.clients.models import Person
from studio.backups.models import Backup
from studio.erasing.actions import erase, plan
from studio.erasing.fields import KEPT, PLACES, kept_models, walked_models
from studio.erasing.made_anew import papers
from studio.erasing.seeking import rows_that_keep
from studio.erasing.whom import NotErased, whom
from studio.models import User


class Command(BaseCommand):
    help = (
        "Replace the names and addresses of one person wherever they stand, in histories, letters and "
        "texts, too, and close their sign-in. What was issued or signed stays as it is. Says first what "
        "it would change, and asks. It cannot be undone: make a backup before, and delete it after."
    )

    def add_arguments(self, parser):
        whose = parser.add_mutually_exclusive_group(required=True)
        whose.add_argument(
            "person", nargs="?", type=int, help="the number in the address of the person’s page"
        )
        whose.add_argument("--user", metavar="NAME", help="what they sign in as")
        parser.add_argument("--dry-run", action="store_true", help="only say what would change")
        parser.add_argument("--yes", action="store_true", help="do not ask")

    def handle(self, *, person, user, dry_run, yes, **options):
        try:
            self.them = whom(**_found(person, user))
        except NotErased as refusal:
            raise CommandError(str(refusal)) from None
        planned = plan(self.them)
        self._say_what_goes(planned)
        self._say_what_stays()
        if dry_run:
            return
        if not yes and input("Type “erase” to replace all of it for good: ").strip() != "erase":
            raise CommandError("Nothing was changed.")
        rows = 0
        while planned:  # and what others saved meanwhile
            erase(self.them, planned, ran_as=getpass.getuser()[:100])
            rows += sum(map(len, planned.values()))
            planned = plan(self.them)
        self.stdout.write(f"Done: {rows} rows changed. They are “{self.them.instead}” now.")

    def _say_what_goes(self, planned):
        them = self.them
        self.stdout.write(f"Erase {them.person or them.user}")
        for word in them.words.theirs:
            where = "" if word in them.words.anywhere else ", only in rows that point to them"
            self.stdout.write(f"  {_on_one_line(word.text)} → {word.instead}{where}")
        if them.shared:
            said = ", ".join(map(_on_one_line, them.shared))
            self.stdout.write(f"Others have these, too, so elsewhere they stay: {said}.")
        if not planned:
            self.stdout.write("No row says anything of them.")
        for words, (now, then) in sorted(_counted(planned).items()):
            self.stdout.write(f"  {words}: {now}" + (f", and {then} in history" if then else ""))
        self.stdout.write(
            f"{papers().count()} stored papers are deleted, and made anew when asked for."
        )

    def _say_what_stays(self):
        words = self.them.words
        self.stdout.write("What stays as it is, since it was issued or signed:")
        kept = [(rows_that_keep(words, model), model) for model in kept_models()]
        for count, model in kept:
            if count:
                said = KEPT[getattr(model, "instance_type", model)._meta.label_lower]
                rows = "1 row that names them" if count == 1 else f"{count} rows that name them"
                self.stdout.write(f"  {said}: {rows}")
        if not any(count for count, _ in kept):
            self.stdout.write("  nothing that names them")
        named = sum(
            rows_that_keep(words, model, PLACES[label])
            for model in walked_models()
            if (label := getattr(model, "instance_type", model)._meta.label_lower) in PLACES
        )
        self.stdout.write(
            f"Not reached: {named} paths of files that name them, what is said in sound files and seen on "
            "photographs, first names and initials alone, the server’s log, "
            f"and {Backup.objects.kept().count()} backups of before, which are to be deleted."
        )


def _found(key, username):
    if username is None:
        person = Person.objects.filter(pk=key).first()
        if person is None:
            raise CommandError(f"There is no person {key}.")
        return {"person": person, "user": None}
    user = User.objects.filter(username=username).first()
    if user is None:
        raise CommandError(f"Nobody signs in as {username}.")
    return {"person": None, "user": user}


def _counted(planned):
    """By what a model’s rows are called, how many as they are, and how many of their history."""
    counts = defaultdict(lambda: [0, 0])
    for model, keys in planned.items():
        of = getattr(model, "instance_type", model)
        counts[str(of._meta.verbose_name_plural)][of is not model] += len(keys)
    return counts


def _on_one_line(text):
    return ", ".join(text.splitlines())
