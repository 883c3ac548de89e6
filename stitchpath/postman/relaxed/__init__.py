"""The relaxed problem, in which parts need not be connected: an exact answer, and with it a bound."""
