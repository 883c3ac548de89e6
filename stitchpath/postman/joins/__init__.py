"""Minimum T-joins, exactly: made smaller, then matched."""
