"""How somebody comes in: password, second factor, from which device, and for how long."""
