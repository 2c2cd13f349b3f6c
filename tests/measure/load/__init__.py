"""A studio at work, as it runs in production: what is kept of it when it is killed, and how it bears
thirty people."""
