"""Routes become paths: points and spans, with ends secured, and ended where a bobbin runs out."""
