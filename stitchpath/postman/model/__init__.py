"""The problem in arrays of whole numbers, and the network that plans are made on."""
