"""What must hold of written files: their names, and that all tell the same paths."""
