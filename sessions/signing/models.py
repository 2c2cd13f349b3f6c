"""Signatures, drawn or typed. What they are under points to them."""

from django.conf import settings
from django.db import models
from django.utils import timezone

from sessions.signing.statement import Statement


class Signature(models.Model):
    """That somebody signed: who, when, on whose sign-in, and the words that they signed.

    A row never changes and is never deleted, which the database keeps (`sessions/constraints/`).
    Where what it is under changes afterwards, that needs another signature.
    """

    name = models.CharField(max_length=120, help_text="As the signer gave it.")
    on_behalf_of = models.CharField(max_length=160, blank=True, help_text="Empty: for themselves.")
    strokes = models.JSONField(
        default=list,
        blank=True,
        help_text="The lines drawn, on a pad of 1200 × 400. None: signed with the typed name.",
    )
    statement = models.JSONField(help_text="What was signed: title, facts, sentence.")
    signed_at = models.DateTimeField(default=timezone.now)
    taken_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        related_name="+",
        help_text="On whose sign-in it was given: whoever held out the tablet.",
    )

    class Meta:
        ordering = ["signed_at", "pk"]

    def __str__(self) -> str:
        return f"{self.name}, for {self.on_behalf_of}" if self.on_behalf_of else self.name

    @property
    def is_drawn(self) -> bool:
        return bool(self.strokes)

    @property
    def signed(self) -> Statement:
        """The words that were signed."""
        return Statement.from_data(self.statement)


def sign(
    statement: Statement, *, name: str, strokes: list, on_behalf_of: str = "", by
) -> Signature:
    """Keep a signature under the statement. Call it in the action that makes what is signed; the
    facts come from a `SignatureForm` (`form.signature`), which checks that the signer saw this
    statement and no other."""
    return Signature.objects.create(
        name=name,
        strokes=strokes,
        on_behalf_of=on_behalf_of,
        statement=statement.as_data(),
        signed_at=timezone.now(),
        taken_by=by,
    )
