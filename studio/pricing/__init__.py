"""Pricing: rates and terms to a cost sheet, a price, tax and deposits, all in Decimal."""
