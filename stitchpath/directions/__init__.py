"""A plan told in words, step by step."""
