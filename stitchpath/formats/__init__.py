"""A plan as files for machines and programs, and those files read back: one module a format."""
