"""Django looks for models only here; code imports them from their slice."""

# ruff: noqa: F401
from sessions.bookings import models as bookings
from sessions.calendar.feeds import models as feeds
from sessions.clients import models as clients
from sessions.deliverables import models as deliverables
from sessions.deliverables.listening import models as listening
from sessions.deliverables.media import models as media
from sessions.deliverables.mixes import models as mixes
from sessions.deliverables.nulling import models as nulling
from sessions.deliverables.uploads import models as uploads
from sessions.deliveries import models as deliveries
from sessions.editing import presses
from sessions.letters import models as letters
from sessions.links import models as links
from sessions.money import models as money
from sessions.money.invoices import models as invoices
from sessions.money.overtime import models as overtime
from sessions.money.payments import models as payments
from sessions.papers.stored import models as stored
from sessions.recall import models as recall
from sessions.recall.finding import models as finding
from sessions.recall.proving import models as proving
from sessions.rooms import models as rooms
from sessions.setups import models as setups
from sessions.setups.headphones import models as headphones
from sessions.signing import models as signing
from sessions.songs import models as songs
from sessions.takes import models as takes
from sessions.tasks import models as tasks
from sessions.terms import models as terms
from sessions.terms.agreements import models as agreements
