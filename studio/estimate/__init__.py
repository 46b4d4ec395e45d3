"""The one way from a brief to a price and a date."""
