"""What must hold of written files: their names, and that all of them hold the same paths."""
