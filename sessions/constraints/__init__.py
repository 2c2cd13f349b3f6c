"""The rules that the database itself keeps, with one meaning on SQLite and on PostgreSQL.

1. No two reservations of the same resource and rank overlap (half-open periods).
2. A revision that a take points to is fixed, and so are its stages, its placement and the panels
   that they were set on, its photographs, and what was kept of the headphone mixes. So is a mix
   revision that a deliverable points to, with its strips, inserts and sends. What was measured of
   a chain stays as it was measured.
3. The parts of a take are of its song; a punch-in goes into an earlier whole take of its song; a
   comp takes from takes of its part.
4. A quote or work order that was issued stays as it is, and their numbers have no gap.
5. An invoice, deposit invoice or credit note that was issued stays as it is, and so do its lines;
   their numbers have no gap; a paper is billed once, and no more is credited than is left.
6. A signature stays as it was given, with the words that were signed; so does approved overtime,
   which can only be voided, and that a work order was signed.
7. What was received and what it was used for stays as it was entered; nothing is used twice, and
   nothing for more than an invoice asks.
8. History stays as it was written.

Of the second and the last, what an erasure of personal data takes out of texts is let through.

SQLite has triggers for all; PostgreSQL has exclusion constraints for the first, which also hold
between transactions that run at the same time, and triggers for the others. Django's own model
constraints can say none of it, so our `migrate` removes and installs them. All names begin with
`rule_`, by which it finds those of an older version too.
"""

from sessions.constraints.asked import CHANGES, QUESTIONS, broken
from sessions.constraints.fixed import (
    FIXED,
    MEASUREMENT_KEPT,
    MIX_FIXED,
    MIX_OPEN,
    PANEL_FIXED,
    PHOTO_KEPT,
    PHOTO_MOVED,
    REVISION_FIXED,
    REVISION_OPEN,
    TAKE_FIXED,
)
from sessions.constraints.histories import ERASURE_KEPT, ERASURES, HISTORY_KEPT, history_triggers
from sessions.constraints.installing import (
    REMOVING,
    STANDING,
    aside,
    check,
    install,
    missing,
    remove,
    triggers,
)
from sessions.constraints.overlaps import EXCLUSIONS, OVERLAPS, RESERVATION, RESOURCES
from sessions.constraints.papers import (
    BILLED_ONCE,
    INVOICE_ISSUED,
    INVOICE_NUMBER,
    INVOICE_WHOLE,
    INVOICED,
    ISSUED,
    NO_MORE_THAN_LEFT,
    PAPER_ISSUED,
    PAPER_NUMBER,
)
from sessions.constraints.payments import (
    ALLOCATED,
    ALLOCATION_KEPT,
    OF_ONE_CLIENT,
    OVERPAID,
    PAID,
    PAYMENT_KEPT,
    UNDONE,
)
from sessions.constraints.signed import OVERTIME_KEPT, SIGNATURE_KEPT, SIGNED
from sessions.constraints.takes import COMP, PUNCHED, TAKE_OF_SONG, TAKES
from sessions.constraints.triggers import Trigger
