"""Whom a change of sessions concerns, what each is told, and the letters.

What somebody is told follows from what they were told last and from how the session stands now. So a
change that is undone before its letter goes is never told, two make one letter, nobody hears opposite
things, and whoever was left out is later told from where they were left."""

from sessions.bookings.telling.choices import NONE, TELL_NOBODY, Choices
from sessions.bookings.telling.scope import Telling, drafts_of, tell, telling, telling_once
