"""Today: the day at a glance, for each role what it acts on."""
