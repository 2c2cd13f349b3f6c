"""How much rooms, people and equipment were used, and what was left open: for the manager."""
