"""Quilting designs in, few continuous stitch paths in the cheapest order out."""
