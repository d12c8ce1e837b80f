"""Bands, channels and power limits per region."""
