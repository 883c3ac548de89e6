"""What must hold of a plan: one module a subject."""
