"""What the studio stands on is taken away and given back while people work: the database is held, full,
read-only or gone, the clock is set, the mail server is away."""
