"""What must hold of a plan: a module for each subject."""
