"""A plan as files for machines and programs, and those files read back: a module for each format."""
