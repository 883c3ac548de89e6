"""A plan as files, one file a format. `FORMATS` is the list: a new format is a new file and a line in it."""
