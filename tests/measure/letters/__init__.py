"""That nobody is left out: random changes of bookings, a mail server that fails, and what everybody's
calendar says in the end."""
