"""The search for better plans: the more effort, the more of it."""
