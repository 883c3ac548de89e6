"""Exact minimum T-joins: the problem is made smaller, then matched."""
