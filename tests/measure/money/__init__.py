"""Random business of a studio with its clients, and whether every sum is the one that a bookkeeper gets
who reckons in fractions."""
