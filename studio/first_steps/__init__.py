"""What a new studio needs before its first session, in order, each done in place."""
