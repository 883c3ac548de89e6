"""Pages for people: HTML that stands by itself, printed as it is seen."""
