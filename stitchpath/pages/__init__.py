"""Pages for people: HTML that needs no other file, printed as it is seen."""
