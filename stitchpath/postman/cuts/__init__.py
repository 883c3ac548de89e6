"""What connection must at least cost: cutting planes, and what they prove."""
