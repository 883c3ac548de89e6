"""Pictures of a plan for people, and what they are drawn with."""
